from pathlib import Path
from typing import Any

import pytest
from at_the_table import (
    StandingClock,
    finish,
    opened_lab,
    planned,
    said,
    seated,
    send,
    uncovered,
    under_way,
    whole_sheet,
)

from crustbreak.core.errors import NotNow, Unacceptable
from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.bowl_facts import Noted
from crustbreak.ports.lab import Lab
from crustbreak.services.devices.join import Seated
from crustbreak.services.results.dataset import dataset_of
from crustbreak.services.tables.actions import look_at, uncover
from crustbreak.services.tables.bowl_notes import Note, Noter, keep_note, note_bowl
from crustbreak.services.tables.state import snapshot


def bowl(table: Table, kind: str, figure: float | None = None, name: str = "") -> Note:
    return Note(kind=kind, place_id=table.places[0].id, cup=3, figure=figure, name=name)


def noted(lab: Lab, table: Table) -> Noted:
    return look_at(lab, table.id)[1].bowls.of((table.places[0].id, 3))


def test_notes_a_bowl_and_takes_it_back(lab: Lab, clock: StandingClock) -> None:
    table = under_way(lab)
    clock.pass_seconds(300)

    note_bowl(lab, table, bowl(table, "bowl broken"))
    fact = noted(lab, table)["bowl broken"]
    note_bowl(lab, table, bowl(table, "bowl undone", name=fact.name))

    assert fact.at == clock.now()
    assert noted(lab, table) == {}
    # Both stay in the records.
    kinds = [act.kind for act in lab.repository.read(lambda records: records.events(table.id))]
    assert kinds[-2:] == ["bowl broken", "bowl undone"]


def test_a_second_touch_says_nothing_new(lab: Lab) -> None:
    table = planned(lab)

    for _ in range(2):
        note_bowl(lab, table, bowl(table, "dose weighed", 8.6))

    acts = lab.repository.read(lambda records: records.events(table.id))
    assert [(act.kind, act.figure) for act in acts] == [("dose weighed", 8.6)]


def test_refuses_what_is_no_bowl_or_no_figure(lab: Lab) -> None:
    table = planned(lab)

    with pytest.raises(Unacceptable):
        note_bowl(lab, table, bowl(table, "dose weighed"))
    with pytest.raises(Unacceptable):
        note_bowl(lab, table, Note(kind="bowl spilt", place_id="elsewhere", cup=1))


def test_notes_bowls_until_the_codes_have_names(lab: Lab) -> None:
    table = under_way(lab)
    finish(lab, seated(lab, table))

    note_bowl(lab, table, bowl(table, "bowl spilt"))
    uncover(lab, table)

    assert set(noted(lab, table)) == {"bowl spilt"}
    with pytest.raises(NotNow):
        note_bowl(lab, table, bowl(table, "water weighed", 150.0))
    with pytest.raises(NotNow):
        note_bowl(lab, uncovered(lab), bowl(table, "bowl undone", name="0.1"))


def test_keeps_who_noted_it_and_its_number(lab: Lab, clock: StandingClock) -> None:
    table = under_way(lab)
    by = Noter(at=clock.now(), grip=2, no=7)

    lab.repository.write(
        lambda records: keep_note(lab, records, table, bowl(table, "bowl poured"), by=by)
    )

    assert noted(lab, table)["bowl poured"].name == "2.7"


def test_a_lab_that_was_stopped_goes_on_where_the_bowls_stood(tmp_path: Path) -> None:
    with opened_lab(tmp_path / "lab") as (lab, clock):
        table = under_way(lab)
        clock.pass_seconds(300)
        note_bowl(lab, table, bowl(table, "bowl broken"))
        note_bowl(lab, table, bowl(table, "dose weighed", 8.75))
        before = lab.repository.read(lambda records: snapshot(lab, records, table).state)

    with opened_lab(tmp_path / "lab") as (lab, _):
        after = lab.repository.read(lambda records: snapshot(lab, records, table).state)

    assert after == before
    assert after.bowls.of((table.places[0].id, 3))["dose weighed"].figure == 8.75


def renumbered(at: Seated, no: int, thing: dict[str, Any]) -> dict[str, Any]:
    what = {
        name: thing[name] for name in ("place", "cup", "line", "round", "value") if name in thing
    }
    return said(at, no, thing["kind"], **what)


def test_a_spilt_bowl_is_judged_by_nobody_and_takes_nothing_from_the_total(lab: Lab) -> None:
    table = under_way(lab)
    spilt = table.places[0]
    note_bowl(lab, table, bowl(table, "bowl spilt"))
    at = seated(lab, table)
    # Nothing is said of the spilt bowl, as of one that is not there.
    marks = [each for each in whole_sheet(lab, at) if (each["place"], each["cup"]) != (spilt.id, 3)]
    calls = [{"kind": "call", "place": place.id, "value": "buy"} for place in table.places]
    things = [*marks, {"kind": "hand_in"}, *calls]
    send(lab, at, [renumbered(at, no, each) for no, each in enumerate(things, start=1)])
    uncover(lab, table)

    ratings = dataset_of(lab, table).ratings

    # Seven lines of 8 and three of 10: 86, and 4 of 5 bowls are all that were there. Source: [S1].
    assert {rating.score.total for rating in ratings} == {86.0}
    assert {rating.code: rating.cups for rating in ratings}[spilt.code] == 4
