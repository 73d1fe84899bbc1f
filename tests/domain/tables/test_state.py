"""From what was said to how the table stands, in whatever order it came."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.domain.records.tables import Flight, Place, Seat, Table
from crustbreak.domain.records.tasting_orders import TastingOrder
from crustbreak.domain.tables.entries import Entry, Event, EventKind
from crustbreak.domain.tables.seats import SeatView
from crustbreak.domain.tables.state import (
    CutOffMove,
    TableState,
    call_subjects,
    subjects_of_seat,
    table_state,
)
from crustbreak.domain.tables.transitions import FlightState, SeatState
from tables import after, entry, event, table

KINDS: tuple[EventKind, ...] = (
    *("key opened", "table set", "poured", "broken"),
    *("undone", "uncovered", "decided", "abandoned"),
)
OPEN_STATES = {FlightState.UNCOVERED, FlightState.DECIDED}
TWO_BOWLS = (Place(id="p1", code="527", cups=1), Place(id="p2", code="814", cups=1))


def two_seats() -> Table:
    return table("Ines", "Tomas", flights=(Flight(id="f1", places=TWO_BOWLS),))


def snapshot_in(entries: Iterable[Entry] = (), events: Iterable[Event] = ()) -> TableState:
    return table_state(two_seats(), entries, events, subjects=("p1", "p2"))


def acts(*kinds: EventKind) -> list[Event]:
    return [event(nth + 1, kind) for nth, kind in enumerate(kinds)]


def finished(seat_id: str) -> list[Entry]:
    """Give a seat's mark, hand-in and both calls."""
    return [
        entry(1, seat_id=seat_id),
        entry(2, "hand_in", seat_id=seat_id),
        entry(3, "call", seat_id=seat_id, place_id="p1", value="buy"),
        entry(4, "call", seat_id=seat_id, place_id="p2", value="decline"),
    ]


def all_finished() -> list[Entry]:
    return [*finished("s1"), *finished("s2")]


def seat(*said: Entry) -> SeatView:
    return snapshot_in(said).seats["s1"]


def values(view: SeatView) -> list[Any]:
    return [mark.value for mark in view.marks]


@st.composite
def conversations(draw: st.DrawFn) -> list[Entry]:
    """Draw what two seats said on up to two devices each, every number once."""
    numbers = st.tuples(st.sampled_from(["s1", "s2"]), st.integers(1, 2), st.integers(1, 6))
    kinds = st.sampled_from(["mark", "mark", "hand_in", "call", "new_call"])
    said = []
    for seat_id, grip, no in draw(st.lists(numbers, unique=True, max_size=14)):
        kind, place_id = draw(kinds), draw(st.sampled_from(["p1", "p2"]))
        value = {
            "mark": draw(st.none() | st.sampled_from([6.0, 7.5])),
            "call": draw(st.none() | st.sampled_from(["buy", "decline"])),
            "new_call": draw(st.sampled_from(["buy", "decline"])),
        }.get(kind)
        said.append(entry(no, kind, seat_id=seat_id, grip=grip, place_id=place_id, value=value))
    return said


HISTORIES = st.lists(st.sampled_from(KINDS), max_size=14).map(lambda kinds: acts(*kinds))


# What seats said.


@given(said=conversations(), events=HISTORIES, data=st.data())
def test_order_of_arrival_and_resending_change_nothing(
    said: list[Entry], events: list[Event], data: st.DataObject
) -> None:
    again = data.draw(st.lists(st.sampled_from(said), max_size=5)) if said else []

    jumbled = snapshot_in(
        data.draw(st.permutations(said + again)), data.draw(st.permutations(events))
    )

    assert jumbled == snapshot_in(said, events)


@given(conversations())
def test_current_mark_is_the_one_with_the_highest_number(said: list[Entry]) -> None:
    view = snapshot_in(said).seats["s1"]

    mine = [each for each in said if each.seat_id == "s1"]
    end = min((each.order for each in mine if each.kind == "hand_in"), default=(9, 9))
    for place_id in ("p1", "p2"):
        marks = [
            each
            for each in mine
            if each.kind == "mark" and each.place_id == place_id and each.order < end
        ]
        last = max(marks, key=lambda each: each.order).value if marks else None
        current = [mark.value for mark in view.marks if mark.place_id == place_id]
        assert current == ([] if last is None else [last])


@given(conversations())
def test_every_mark_after_the_hand_in_is_kept_as_late(said: list[Entry]) -> None:
    view = snapshot_in(said).seats["s1"]

    mine = [each for each in said if each.seat_id == "s1"]
    end = min((each.order for each in mine if each.kind == "hand_in"), default=(9, 9))
    late = {each for each in mine if each.kind == "mark" and each.order > end}
    assert set(view.late) == late


def test_higher_device_outranks_a_higher_number() -> None:
    old = entry(40, value=6.0)

    assert values(seat(old, entry(1, grip=2, value=9.0))) == [9.0]


def test_old_device_still_fills_what_the_new_one_left_empty() -> None:
    late_old = entry(40, line="aftertaste", value=6.0)

    assert values(seat(entry(1, grip=2, value=9.0), late_old)) == [6.0, 9.0]


def test_mark_taken_back_is_no_judgement_and_can_be_given_again() -> None:
    taken_back = [entry(1), entry(2, value=None)]

    assert values(seat(*taken_back)) == []
    assert seat(*taken_back).state == SeatState.TASTING
    assert values(seat(*taken_back, entry(3, value=9.0))) == [9.0]


def test_bowls_rounds_and_lines_are_judged_apart() -> None:
    said = [
        entry(1, line="uniformity", cup=1, round="cool", value="alike"),
        entry(2, line="uniformity", cup=2, round="cool", value="differs"),
        entry(3, line="note", round="hot", value="plum"),
        entry(4, line="note", round="cool", value="tea"),
        entry(5, place_id="p2"),
    ]

    assert values(seat(*said)) == ["alike", "differs", "plum", "tea", 7.5]


def test_hand_in_cuts_off_higher_numbers_and_admits_lower_ones_that_come_later() -> None:
    hand_in, higher, lower = entry(5, "hand_in"), entry(6, value=6.0), entry(4, value=9.0)

    view = seat(hand_in, higher, lower)

    assert (values(view), view.late) == ([9.0], (higher,))
    assert view.state == SeatState.HANDED_IN


def test_first_hand_in_is_the_one_that_counts() -> None:
    view = seat(entry(2, "hand_in"), entry(3, value=9.0), entry(4, "hand_in"))

    assert values(view) == []
    assert len(view.late) == 1


def test_empty_sheet_may_be_handed_in() -> None:
    assert seat(entry(1, "hand_in")).state == SeatState.HANDED_IN


def test_call_counts_before_and_after_the_hand_in_and_the_last_one_stands() -> None:
    view = seat(
        entry(1, "call", place_id="p1", value="buy"),
        entry(2, "hand_in"),
        entry(3, "call", place_id="p2", value="buy"),
        entry(4, "call", place_id="p1", value="decline"),
    )

    assert view.calls == {"p1": "decline", "p2": "buy"}
    assert view.called


def test_call_taken_back_is_missing_again() -> None:
    view = seat(*finished("s1"), entry(5, "call", place_id="p1", value=None))

    assert (view.calls, view.called) == ({"p2": "decline"}, False)


def test_seat_that_said_nothing_is_open() -> None:
    assert seat() == SeatView(state=SeatState.OPEN, marks=(), calls={}, late=(), called=False)


def test_seat_of_another_table_and_unknown_kinds_change_nothing() -> None:
    stray = [entry(1, seat_id="s9"), entry(1, "dance", place_id="p1", value=9.0)]

    state = snapshot_in(stray)

    assert set(state.seats) == {"s1", "s2"}
    assert state.seats["s1"] == replace(seat(), grip=1)
    assert (state.flight, state.problems) == (FlightState.PLANNED, ())


def test_subjects_are_the_places_or_the_table_as_one() -> None:
    assert call_subjects(two_seats(), each_place=True) == ("p1", "p2")
    assert call_subjects(two_seats(), each_place=False) == (None,)


def test_table_called_as_one_needs_one_call() -> None:
    said = [entry(1, "hand_in"), entry(2, "call", value="buy")]

    state = table_state(table("Ines"), said, acts("table set", "poured"), subjects=(None,))

    assert state.flight == FlightState.CALLED


# What the host did.


@pytest.mark.parametrize(
    ("entries", "kinds", "flight"),
    [
        ([], (), FlightState.PLANNED),
        ([], ("key opened",), FlightState.PLANNED),
        ([], ("table set",), FlightState.SET),
        ([], ("table set", "poured"), FlightState.UNDER_WAY),
        ([], ("table set", "poured", "broken"), FlightState.UNDER_WAY),
        (finished("s1"), ("table set", "poured"), FlightState.UNDER_WAY),
        (
            [entry(1, "hand_in"), entry(1, "hand_in", seat_id="s2")],
            ("table set", "poured"),
            FlightState.HANDED_IN,
        ),
        ([*finished("s1"), *finished("s2")[:3]], ("table set", "poured"), FlightState.HANDED_IN),
        (all_finished(), ("table set", "poured"), FlightState.CALLED),
        (all_finished(), ("table set", "poured", "uncovered"), FlightState.UNCOVERED),
        (all_finished(), ("table set", "poured", "uncovered", "decided"), FlightState.DECIDED),
        (all_finished(), (), FlightState.PLANNED),
        (all_finished(), ("table set", "poured", "abandoned"), FlightState.ABANDONED),
        ([], ("abandoned",), FlightState.ABANDONED),
    ],
)
def test_table_comes_as_far_as_acts_and_seats_bring_it(
    entries: list[Entry], kinds: tuple[EventKind, ...], flight: FlightState
) -> None:
    state = snapshot_in(entries, acts(*kinds))

    assert (state.flight, state.problems) == (flight, ())


@given(conversations(), HISTORIES)
def test_nothing_uncovers_before_every_hand_in_and_call(
    said: list[Entry], events: list[Event]
) -> None:
    state = snapshot_in(said, events)

    if state.flight in OPEN_STATES:
        assert all(view.state == SeatState.HANDED_IN for view in state.seats.values())
        assert all(view.called for view in state.seats.values())


@given(HISTORIES)
def test_nothing_gets_stuck(events: list[Event]) -> None:
    """Whatever the host tapped, a table not given up can still be brought to a verdict."""
    rest: tuple[EventKind, ...] = ("table set", "poured", "uncovered", "decided")
    onward = [event(len(events) + nth + 1, kind) for nth, kind in enumerate(rest)]

    state = snapshot_in(all_finished(), [*events, *onward])

    given_up = snapshot_in(all_finished(), events).flight == FlightState.ABANDONED
    assert state.flight == (FlightState.ABANDONED if given_up else FlightState.DECIDED)


@given(conversations(), HISTORIES)
def test_impossible_acts_are_named_and_change_nothing(
    said: list[Entry], events: list[Event]
) -> None:
    state = snapshot_in(said, events)

    numbers = {problem.where for problem in state.problems}
    possible = [each for each in events if f"event {each.number}" not in numbers]
    without = snapshot_in(said, possible)
    assert without.problems == ()
    assert (without.flight, without.set_at, without.poured_at, without.broken_at) == (
        state.flight,
        state.set_at,
        state.poured_at,
        state.broken_at,
    )


def test_impossible_act_is_told_where_the_table_stands() -> None:
    (problem,) = snapshot_in([], acts("poured")).problems

    assert str(problem) == (
        "event 1: 'poured' can follow where the table stands; found the table planned. "
        "It is kept and changes nothing."
    )


@pytest.mark.parametrize(
    "kinds",
    [
        ("table set", "table set"),
        ("table set", "broken"),
        ("table set", "poured", "poured"),
        ("table set", "poured", "broken", "broken"),
        ("undone",),
        ("table set", "undone"),
        ("table set", "poured", "uncovered"),
        ("table set", "poured", "decided"),
        ("abandoned", "table set"),
        ("abandoned", "abandoned"),
    ],
)
def test_last_act_is_impossible_here(kinds: tuple[EventKind, ...]) -> None:
    problems = snapshot_in([], acts(*kinds)).problems

    assert [problem.where for problem in problems] == [f"event {len(kinds)}"]


@pytest.mark.parametrize("last", ["broken", "undone", "abandoned", "poured", "uncovered"])
def test_table_with_names_is_touched_no_more(last: EventKind) -> None:
    history = acts("table set", "poured", "broken", "uncovered", "decided")

    state = snapshot_in(all_finished(), [*history, event(6, last)])

    assert (state.flight, state.broken_at) == (FlightState.DECIDED, after(30))
    assert [problem.where for problem in state.problems] == ["event 6"]


def test_undo_takes_back_the_break_first_and_then_the_pour() -> None:
    history = acts("table set", "poured", "broken", "undone", "undone")

    both, one, none = (snapshot_in([], history[:count]) for count in (3, 4, 5))

    assert (both.poured_at, both.broken_at) == (after(20), after(30))
    assert (one.poured_at, one.broken_at) == (after(20), None)
    assert (none.poured_at, none.broken_at) == (None, None)
    assert none.flight == FlightState.SET


def test_pour_undone_and_done_again_keeps_its_time_after_every_hand_in() -> None:
    """Marks have no place among the host's acts: a hand-in must not reach back before an undo."""
    history = acts("table set", "poured", "undone", "poured", "broken", "undone", "broken")

    state = snapshot_in(all_finished(), history)

    assert (state.poured_at, state.broken_at) == (after(40), after(70))
    assert (state.flight, state.problems) == (FlightState.CALLED, ())


def test_opening_the_key_is_always_possible_and_changes_nothing() -> None:
    opened = acts("key opened", "table set", "key opened", "poured", "key opened")

    state = snapshot_in([], opened)

    assert (state.flight, state.problems) == (FlightState.UNDER_WAY, ())
    assert (state.set_at, state.poured_at) == (after(20), after(40))


def test_skimming_is_said_once_after_the_break_and_taken_back_first() -> None:
    history = acts("table set", "poured", "broken", "skimmed", "undone", "undone")

    skimmed, undone, unbroken = (snapshot_in([], history[:count]) for count in (4, 5, 6))

    assert skimmed.skimmed_at == after(40)
    assert (undone.skimmed_at, undone.broken_at) == (None, after(30))
    assert (unbroken.broken_at, unbroken.poured_at) == (None, after(20))
    early = snapshot_in([], acts("table set", "poured", "skimmed"))
    assert [problem.where for problem in early.problems] == ["event 3"]


def test_a_bowl_noted_after_the_uncovering_changes_nothing() -> None:
    late = Event(
        table_id="t1", number=9, kind="bowl spilt", at=after(90), place_id="p1", cup=1, grip=1, no=1
    )

    state = snapshot_in(all_finished(), [*acts("table set", "poured", "uncovered"), late])

    assert state.bowls.noted == {}
    assert [problem.where for problem in state.problems] == ["event 9"]


# Seats that change hands, are left out or refused.

SEAT_KINDS: tuple[EventKind, ...] = (
    *("left out", "brought back", "device refused", "device let back"),
    *("admitted", "code replaced"),
)


@st.composite
def any_histories(draw: st.DrawFn) -> list[Event]:
    """Draw acts of every kind, about seats too, in any order."""
    kinds = draw(st.lists(st.sampled_from((*KINDS, *SEAT_KINDS)), max_size=16))
    seats = st.sampled_from(["s1", "s2", "s9"])
    return [
        replace(event(nth, kind), seat_id=draw(seats), grip=draw(st.integers(1, 2)))
        for nth, kind in enumerate(kinds, start=1)
    ]


def all_said(draw_from: st.SearchStrategy[list[Entry]]) -> st.SearchStrategy[list[Entry]]:
    return st.one_of(draw_from, st.just(all_finished()), st.just(finished("s1")))


@given(said=all_said(conversations()), events=any_histories(), data=st.data())
def test_order_of_arrival_changes_nothing_whatever_was_done_about_seats(
    said: list[Entry], events: list[Event], data: st.DataObject
) -> None:
    jumbled = snapshot_in(data.draw(st.permutations(said)), data.draw(st.permutations(events)))

    assert jumbled == snapshot_in(said, events)


@given(all_said(conversations()), any_histories())
def test_no_order_of_acts_uncovers_early(said: list[Entry], events: list[Event]) -> None:
    state = snapshot_in(said, events)

    if state.flight in OPEN_STATES:
        counted = [view for view in state.seats.values() if view.left_out is None]
        assert counted
        assert all(view.is_complete and view.called for view in counted)


@given(all_said(conversations()), any_histories())
def test_no_order_of_acts_gets_a_table_stuck(said: list[Entry], events: list[Event]) -> None:
    state = snapshot_in(said, events)
    number = len(events) + 1

    ended = snapshot_in(said, [*events, event(number, "abandoned")]).flight

    assert ended in {FlightState.ABANDONED, *OPEN_STATES}
    if state.flight == FlightState.CALLED:
        assert (
            snapshot_in(said, [*events, event(number, "uncovered")]).flight == FlightState.UNCOVERED
        )


def test_seats_are_as_they_were_once_the_codes_have_names() -> None:
    acts = [*acts_to_the_end(), replace(event(4, "left out"), seat_id="s2", detail="Late.")]

    state = snapshot_in(all_finished(), acts)

    assert state.flight == FlightState.UNCOVERED
    assert state.seats["s2"].left_out is None
    assert len(state.problems) == 1


def acts_to_the_end() -> list[Event]:
    return acts("table set", "poured", "uncovered")


def test_table_at_which_everybody_was_left_out_is_not_uncovered() -> None:
    out = [replace(event(nth, "left out"), seat_id=f"s{nth - 2}") for nth in (3, 4)]

    state = snapshot_in([], [*acts("table set", "poured"), *out, event(5, "uncovered")])

    assert state.flight == FlightState.UNDER_WAY


def moved(number: int, to: float) -> Event:
    return replace(event(number, "cut-off moved"), figure=to, detail="So.")


def test_the_figure_that_decides_is_the_last_it_was_moved_to() -> None:
    plan = two_seats().cut_off
    state = snapshot_in(
        events=[moved(1, 81.0), event(2, "table set"), event(3, "poured"), moved(4, 83.0)]
    )

    assert state.cut_off == 83.0
    assert [(each.before, each.after, each.is_late) for each in state.moves] == [
        (plan, 81.0, False),
        (81.0, 83.0, True),
    ]
    assert isinstance(state.moves[0], CutOffMove)
    assert state.flight == FlightState.UNDER_WAY


def test_a_move_after_the_decision_is_kept_and_changes_nothing() -> None:
    events = [*acts("table set", "poured", "uncovered", "decided"), moved(5, 81.0)]

    state = snapshot_in(all_finished(), events)

    assert (state.cut_off, state.moves) == (two_seats().cut_off, ())
    assert [problem.where for problem in state.problems] == ["event 5"]


def test_a_move_after_the_uncovering_knew_the_names() -> None:
    state = snapshot_in(all_finished(), [*acts("table set", "poured", "uncovered"), moved(4, 81.0)])

    assert [move.knew_names for move in state.moves] == [True]


def test_a_seat_calls_what_it_tastes_and_the_table_as_one() -> None:
    set_out = table("Ines")
    some = Seat(id="s1", taster="Ines", tasting_order=TastingOrder(there=(1,), back=(1,)))
    every = tuple(place.id for place in set_out.places)

    assert subjects_of_seat(set_out, some, every) == (every[1],)
    assert subjects_of_seat(set_out, some, (None,)) == (None,)
    assert subjects_of_seat(set_out, set_out.seats[0], every) == every
