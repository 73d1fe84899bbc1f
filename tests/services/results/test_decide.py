import json
from dataclasses import replace
from functools import partial
from hashlib import sha256
from typing import Any

import pytest
from at_the_table import (
    COFFEES,
    finish,
    planned,
    played,
    said,
    seated,
    send,
    uncovered,
    under_way,
)
from many_tables import counted_statements

from crustbreak.core.errors import NotNow, NotThere, NotYours, Unacceptable
from crustbreak.domain.records.tables import Table
from crustbreak.exchange.canonical_json import Altered
from crustbreak.ports.lab import Lab
from crustbreak.reports.render.pdf import as_pdf
from crustbreak.reports.render.terminal import as_text
from crustbreak.services.devices.join import Seated
from crustbreak.services.devices.submissions import receive_entries
from crustbreak.services.results.decide import (
    Decision,
    coffees_to_name,
    decide,
    evidence_blocks,
    evidence_of,
    keep_decision,
    memo_of,
    prepare_decision,
    subjects_to_decide,
    verdict_of,
    words_of,
    words_of_all,
)
from crustbreak.services.tables.actions import abandon, uncover
from crustbreak.services.tables.bowl_notes import Note, note_bowl
from crustbreak.services.tables.keys import open_key_to_set
from papers import spoken

WORDS = dict(zip(COFFEES, ("buy", "look again", "decline"), strict=True))


def decided(lab: Lab, table: Table) -> None:
    decide(lab, table, WORDS, reason="The best of three.", decided_by="Piet")


def read(lab: Lab, table: Table) -> str:
    """Give what a table's memo says, its finding first."""
    memo = memo_of(lab, table)
    return f"{memo.finding}\n{as_text(memo, columns=10_000)}"


def test_says_what_the_marks_say(lab: Lab) -> None:
    table = uncovered(lab)

    evidence = evidence_of(lab, table)

    assert evidence["how_sure"].startswith("one taster's look, give or take ")
    assert [each["total"]["mean"] for each in evidence["coffees"]] == [86.0, 86.0, 86.0]
    shown = spoken(*evidence_blocks(lab, table))
    assert "86.00" in shown
    assert "over the cut-off" in shown


def test_says_nothing_while_codes_are_sealed(lab: Lab) -> None:
    table = under_way(lab)

    with pytest.raises(NotYours):
        evidence_of(lab, table)
    with pytest.raises(NotYours):
        decided(lab, table)


def test_wants_a_word_on_every_coffee(lab: Lab) -> None:
    table = uncovered(lab)

    assert subjects_to_decide(lab, table) == COFFEES
    with pytest.raises(Unacceptable) as refused:
        decide(lab, table, {COFFEES[0]: "bye"}, reason=" ", decided_by="")

    wheres = [problem.where for problem in refused.value.problems]
    assert wheres == [*COFFEES, "Reason", "Who decides"]
    assert refused.value.problems[0].remedy == "Did you mean buy?"
    assert verdict_of(lab, table) == {}


def test_keeps_the_verdict_with_its_evidence_and_digest(lab: Lab) -> None:
    table = uncovered(lab)
    evidence = evidence_of(lab, table)

    decided(lab, table)

    verdict = lab.repository.read(lambda records: records.verdict(table.id))
    assert verdict is not None
    record = json.loads(verdict.record)
    assert record["evidence"] == evidence
    assert record["verdict"]["reason"] == "The best of three."
    assert verdict.digest == sha256(verdict.record.encode()).hexdigest()
    assert verdict_of(lab, table) == WORDS


def test_decides_once(lab: Lab) -> None:
    table = uncovered(lab)
    decided(lab, table)

    with pytest.raises(NotNow):
        decided(lab, table)


def test_writes_the_memo_from_the_kept_record_byte_for_byte(lab: Lab) -> None:
    table = uncovered(lab)
    decided(lab, table)

    memo = read(lab, table)

    assert memo == read(lab, table)
    assert as_pdf(memo_of(lab, table)) == as_pdf(memo_of(lab, table))
    assert "Buy Marrow Hill. Taste Sallow Bridge once more. Decline Fen Cross." in memo
    assert "The best of three." in memo
    assert "in 100" in memo
    assert "Points of today" not in memo
    assert "Odile's own; relative only" in memo


@pytest.mark.parametrize(("taster", "setter"), [("Odile", "odile"), ("Jos\u00e9", "Jose\u0301")])
def test_says_in_the_memo_who_was_not_blind(lab: Lab, taster: str, setter: str) -> None:
    table = planned(lab, tasters=(taster, "Anouk"), setter=setter)
    open_key_to_set(lab, table)
    played(lab, table)
    decided(lab, table)

    assert f"{setter} also tasted and so was not blind" in read(lab, table)


def test_says_in_the_memo_that_the_key_was_never_opened(lab: Lab) -> None:
    table = uncovered(lab)
    decided(lab, table)

    assert "The key was not opened before the uncovering." in read(lab, table)


def test_leaves_late_marks_out_and_says_how_many(lab: Lab) -> None:
    table = under_way(lab)
    at = seated(lab, table)
    finish(lab, at)
    place = table.places[0].id
    late = [
        said(at, 900, "mark", place=place, line="flavor", round="hot", value=9.0),
        said(at, 901, "call", place=place, value="decline"),
    ]
    send(lab, at, late)
    uncover(lab, table)
    send(lab, at, [said(at, 902, "call", place=place, value="buy")])
    decided(lab, table)

    assert "1 mark that came late" in read(lab, table)


def test_takes_no_reason_or_name_that_turns_the_paper_round(lab: Lab) -> None:
    table = uncovered(lab)

    with pytest.raises(Unacceptable) as refused:
        decide(lab, table, WORDS, reason="So.\n\u202eoS", decided_by="Piet\u202e")

    assert [problem.where for problem in refused.value.problems] == ["Reason", "Who decides"]


def test_shows_no_record_that_was_changed_outside_the_lab(lab: Lab) -> None:
    table = uncovered(lab)
    decided(lab, table)
    kept = lab.repository.read(lambda records: records.verdict(table.id))
    assert kept is not None
    changed = replace(kept, record=kept.record.replace("The best", "The worst"))
    lab.repository.write(lambda records: records.add_verdict(changed))

    with pytest.raises(Altered, match="not the one that was kept"):
        memo_of(lab, table)


def test_has_no_memo_before_the_verdict(lab: Lab) -> None:
    with pytest.raises(NotThere, match="no verdict yet"):
        memo_of(lab, planned(lab))


def test_what_is_called_anew_is_kept_beside_the_call_until_the_decision(lab: Lab) -> None:
    table = uncovered(lab)
    at = Seated(table=table, seat=table.seats[0], grip=1)
    place = table.places[0].id
    anew = said(at, 900, "new_call", place=place, value="decline", reason="For its price.")

    (kept,) = receive_entries(lab, at, [anew])
    decided(lab, table)
    (after,) = receive_entries(lab, at, [{**anew, "id": "e" * 32, "no": 901}])

    assert (kept.word, after.word) == ("kept", "kept late")
    said_of_it = "buy by code, and since the names are known decline: For its price."
    assert said_of_it in read(lab, table)
    assert read(lab, table).count("For its price.") == 1


def test_nobody_decides_otherwise_before_the_names_are_known(lab: Lab) -> None:
    table = under_way(lab)
    at = seated(lab, table)
    finish(lab, at)
    place = table.places[0].id
    early = said(at, 900, "new_call", place=place, value="decline", reason="A guess.")

    (answer,) = receive_entries(lab, at, [early])
    uncover(lab, table)
    decided(lab, table)

    assert answer.word == "kept late"
    assert "A guess." not in read(lab, table)


def test_a_verdict_is_not_kept_on_evidence_that_has_changed(
    lab: Lab, monkeypatch: pytest.MonkeyPatch
) -> None:
    table = uncovered(lab)
    at = Seated(table=table, seat=table.seats[0], grip=1)
    place = table.places[0].id
    anew = said(at, 900, "new_call", place=place, value="decline", reason="For its price.")

    def and_then(*given: Any) -> Any:
        found = evidence_of(*given)
        receive_entries(lab, at, [anew])
        return found

    monkeypatch.setattr("crustbreak.services.results.decide.evidence_of", and_then)

    with pytest.raises(NotNow, match="came in meanwhile"):
        decided(lab, table)


def test_what_differed_travels_with_the_marks_into_the_memo(lab: Lab) -> None:
    table = planned(lab)
    place = table.places[0]
    note_bowl(lab, table, Note(kind="dose weighed", place_id=place.id, cup=2, figure=8.65))
    note_bowl(lab, table, Note(kind="bowl spilt", place_id=place.id, cup=4))
    played(lab, table)

    evidence = evidence_of(lab, table)
    decided(lab, table)

    # 8.25 g asked for: [S1].
    assert evidence["bowl_flags"] == [
        {"code": place.code, "cup": 2, "kind": "dose", "off": 0.4},
        {"code": place.code, "cup": 4, "kind": "spilt", "off": None},
    ]
    assert evidence["bowls_judged"] == {
        each.code: 4 if each == place else 5 for each in table.places
    }
    said = f"Bowl 2 of {place.code} had 0.40 g more coffee. Bowl 4 of {place.code} was spilt."
    assert said in read(lab, table)
    assert f"Bowl 4 of {place.code} was spilt." in spoken(*evidence_blocks(lab, table))


def test_a_table_by_the_recipe_keeps_the_evidence_that_it_always_had(lab: Lab) -> None:
    """What was noted within the tolerance leaves no trace in what is kept."""
    table = planned(lab)
    place = table.places[0]
    note_bowl(lab, table, Note(kind="dose weighed", place_id=place.id, cup=2, figure=8.25))
    played(lab, table)

    assert not {"bowl_flags", "bowls_judged"} & set(evidence_of(lab, table))


def test_a_decision_is_checked_before_and_kept_as_a_part_of_one_piece_of_work(lab: Lab) -> None:
    table = uncovered(lab)
    decision: Decision = prepare_decision(
        lab, table, WORDS, reason="The best of three.", decided_by="Piet"
    )
    before = verdict_of(lab, table)

    kept = lab.repository.write(lambda records: keep_decision(lab, records, decision))

    assert (before, verdict_of(lab, table)) == ({}, WORDS)
    assert words_of(lab, kept) == WORDS
    assert words_of(lab, None) == {}
    with pytest.raises(NotNow, match="came in meanwhile"):
        lab.repository.write(lambda records: keep_decision(lab, records, decision))


def test_words_of_many_tables_are_read_once(lab: Lab) -> None:
    table = uncovered(lab)
    decided(lab, table)
    abandon(lab, planned(lab), "")
    ended = lab.repository.read(lambda records: records.ended_tables())

    before = words_of_all(lab, ended)
    with counted_statements() as statements:
        after = words_of_all(lab, ended)

    assert before == after == {table.id: WORDS}
    assert statements == []


def test_words_of_a_record_that_was_changed_are_not_told_from_memory(lab: Lab) -> None:
    table = uncovered(lab)
    decided(lab, table)
    kept = lab.repository.read(lambda records: records.verdict(table.id))
    assert kept is not None
    assert words_of(lab, kept) == WORDS

    with pytest.raises(Altered):
        words_of(lab, replace(kept, record=kept.record.replace("decline", "buy")))


def test_coffees_are_named_once_the_codes_are(lab: Lab) -> None:
    named = lab.repository.read(partial(coffees_to_name, lab, uncovered(lab)))

    assert [coffee.name for coffee in named] == [*COFFEES]
    with pytest.raises(NotYours):
        lab.repository.read(partial(coffees_to_name, lab, under_way(lab)))
