from dataclasses import replace

import pytest
from at_the_table import MORNING, planned, said, seated, send, under_way

from crustbreak.core.errors import NotNow
from crustbreak.domain.tables.entries import Entry, Event, EventKind
from crustbreak.domain.tables.transitions import FlightState
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import ReadAccess, WriteAccess
from crustbreak.services.tables.actions import abandon
from crustbreak.services.tables.state import (
    TableSnapshot,
    admitted_upto,
    counted,
    demand,
    demand_state,
    out_of_evidence,
    refused_grips,
    snapshot,
    snapshot_in,
    snapshots_of,
    subjects_of,
    work_out,
)


def test_folds_what_the_books_hold(lab: Lab) -> None:
    table = under_way(lab)

    state = lab.repository.read(lambda records: snapshot_in(lab, records, table))

    assert state.flight is FlightState.UNDER_WAY
    assert state.poured_at is not None
    assert state.problems == ()


def test_lists_every_code_as_a_subject_of_the_calls(lab: Lab) -> None:
    table = planned(lab)

    assert subjects_of(lab, table) == tuple(place.id for place in table.places)


def test_refuses_what_cannot_follow_with_the_next_step(lab: Lab) -> None:
    table = planned(lab)
    state = lab.repository.read(lambda records: snapshot_in(lab, records, table))

    demand(state, "table set", hint="")
    with pytest.raises(NotNow, match="The table is planned") as refused:
        demand(state, "poured", hint="Set it first.")

    assert refused.value.hint == "Set it first."


def test_refuses_another_state(lab: Lab) -> None:
    table = planned(lab)
    state = lab.repository.read(lambda records: snapshot_in(lab, records, table))

    demand_state(state, FlightState.PLANNED, hint="")
    with pytest.raises(NotNow):
        demand_state(state, FlightState.SET, hint="")


def test_counts_what_came_before_the_close_and_what_was_let_in(lab: Lab) -> None:
    table = under_way(lab)
    at = seated(lab, table)
    place = table.places[0].id
    marks = [
        said(at, no, "mark", place=place, line="flavor", round="hot", value=8.0)
        for no in range(1, 4)
    ]
    send(lab, at, marks[:1])
    abandon(lab, table, "")
    send(lab, at, marks[1:])

    def ask(records: ReadAccess) -> tuple[list[int], list[int], int]:
        kept, acts = records.entries(table.id), records.events(table.id)
        let_in = Event(
            table_id=table.id,
            number=9,
            kind="admitted",
            at=lab.clock.now(),
            seat_id=at.seat.id,
            arrival=kept[1].arrival,
        )
        late = out_of_evidence(kept, acts, snapshot_in(lab, records, table))
        return (
            [entry.no for entry in counted(kept, acts)],
            [entry.no for entry in counted(kept, [*acts, let_in])],
            len(late),
        )

    assert lab.repository.read(ask) == ([1], [1, 2], 2)


def test_books_of_the_first_version_tell_the_late_by_their_word(lab: Lab) -> None:
    table = under_way(lab)
    at = seated(lab, table)
    abandon(lab, table, "")
    send(lab, at, [said(at, 1, "mark", place=table.places[0].id, line="body", round="warm")])

    def ask(records: ReadAccess) -> list[Entry]:
        acts = [replace(act, arrival=None) for act in records.events(table.id)]
        return counted(records.entries(table.id), acts)

    assert lab.repository.read(ask) == []


def test_reads_refusals_and_admissions_off_the_acts() -> None:
    def act(number: int, kind: EventKind, **about: int) -> Event:
        return Event(table_id="t", number=number, kind=kind, at=MORNING, seat_id="s", **about)

    acts = [
        act(1, "device refused", grip=1),
        act(2, "device refused", grip=2),
        act(3, "device let back", grip=1),
        act(4, "admitted", arrival=7),
        act(5, "admitted", arrival=12),
    ]

    assert refused_grips(acts, "s") == {2}
    assert refused_grips(acts, "another") == frozenset()
    assert admitted_upto(acts) == {"s": 12}


def test_is_worked_out_once_for_all_who_ask_until_something_is_added(lab: Lab) -> None:
    table = under_way(lab)
    at = seated(lab, table)

    def ask() -> TableSnapshot:
        return lab.repository.read(lambda records: snapshot(lab, records, table))

    first, again = ask(), ask()
    send(lab, at, [said(at, 1, "hand_in")])

    assert first is again
    assert ask().state.seats[at.seat.id].state == "handed in"


def test_nothing_is_remembered_of_work_that_is_undone(lab: Lab) -> None:
    table = under_way(lab)

    def spoil(records: WriteAccess) -> None:
        records.add_event(table.id, "broken", at=lab.clock.now())
        records.add_event(table.id, "abandoned", at=lab.clock.now())
        assert snapshot_in(lab, records, table).flight == "abandoned"
        raise ValueError

    with pytest.raises(ValueError):  # noqa: PT011
        lab.repository.write(spoil)
    lab.repository.write(lambda records: records.add_event(table.id, "broken", at=lab.clock.now()))
    lab.repository.write(lambda records: records.add_event(table.id, "broken", at=lab.clock.now()))

    assert (
        lab.repository.read(lambda records: snapshot_in(lab, records, table)).flight == "under way"
    )


def test_tables_are_worked_out_together_as_each_by_itself(lab: Lab) -> None:
    tables = {table.id: table for table in (under_way(lab), planned(lab))}

    def ask(records: ReadAccess) -> dict[str, TableSnapshot]:
        return snapshots_of(lab, records, {each: records.version(each) for each in tables}, tables)

    together = lab.repository.read(ask)

    for each, table in tables.items():
        records = lab.repository.read(lambda records, at=each: records.table_records((at,)))
        assert together[each] == work_out(lab, table, records[each])
    assert [found.state.flight for found in together.values()] == ["under way", "planned"]
