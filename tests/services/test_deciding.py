import json
from hashlib import sha256

import pytest
from at_the_table import COFFEES, planned, uncovered, under_way

from crustbreak.domain.records.tables import Table
from crustbreak.footing.errors import NotNow, NotThere, NotYours, Unacceptable
from crustbreak.ports.lab import Lab
from crustbreak.services.deciding import (
    decide,
    evidence_of,
    memo_of,
    show_evidence,
    subjects_to_decide,
    verdict_of,
)

WORDS = dict(zip(COFFEES, ("buy", "look again", "decline"), strict=True))


def decided(lab: Lab, table: Table) -> None:
    decide(lab, table, WORDS, reason="The best of three.", decided_by="Piet")


def test_says_what_the_marks_say(lab: Lab) -> None:
    table = uncovered(lab)

    evidence = evidence_of(lab, table)

    assert evidence["how_sure"] == "not computed yet"
    assert [each["total"]["mean"] for each in evidence["coffees"]] == [86.0, 86.0, 86.0]
    assert "86.00" in show_evidence(lab, table)


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

    verdict = lab.books.read(lambda books: books.verdict(table.id))
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

    memo = memo_of(lab, table)

    assert memo == memo_of(lab, table)
    assert "Buy Marrow Hill. Taste Sallow Bridge once more. Decline Fen Cross." in memo
    assert "The best of three." in memo
    assert "How sure: not computed yet" in memo


def test_says_in_the_memo_who_was_not_blind(lab: Lab) -> None:
    table = uncovered(lab, tasters=("Odile", "Anouk"), setter="odile")
    decided(lab, table)

    assert "odile also tasted and so was not blind" in memo_of(lab, table)


def test_has_no_memo_before_the_verdict(lab: Lab) -> None:
    with pytest.raises(NotThere, match="no verdict yet"):
        memo_of(lab, planned(lab))
