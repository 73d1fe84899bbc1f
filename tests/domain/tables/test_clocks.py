"""What the bowls hold and when, by the taps, the course and what was noted."""

from collections.abc import Iterable
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from crustbreak.domain.records.recipes import STANDARD
from crustbreak.domain.records.tables import CupTimes, Flight, Place, Table
from crustbreak.domain.tables.clocks import (
    CupClock,
    clocks_of,
    cup_clock,
    cup_state,
    cup_states,
    taste_from,
)
from crustbreak.domain.tables.entries import Event, EventKind
from crustbreak.domain.tables.state import TableState, table_state
from crustbreak.domain.tables.transitions import CupState
from tables import after, event, fact, table

TWO_BOWLS = (Place(id="p1", code="527", cups=1), Place(id="p2", code="814", cups=1))
# Three bowls of one coffee: 10 s a pour, four minutes of steep, skimmed a minute after.
COURSE = tuple(CupTimes(pour_s=at, break_s=at + 240, skim_s=at + 300) for at in (0, 10, 20))

KINDS: tuple[EventKind, ...] = ("table set", "poured", "broken", "skimmed", "undone", "abandoned")
HISTORIES = st.lists(st.sampled_from(KINDS), max_size=10)


def two_bowls() -> Table:
    return table("Ines", flights=(Flight(id="f1", places=TWO_BOWLS),))


def three_bowls() -> Table:
    place = Place(id="p1", code="527", cups=3)
    flights = (Flight(id="f1", places=(place,)),)
    return table("Ines", flights=flights, course=COURSE, first_round_s=720)


def snapshot_in(at_table: Table, events: Iterable[Event]) -> TableState:
    return table_state(at_table, [], events, subjects=(None,))


def bowls(at_table: Table, state: TableState, seconds: float) -> list[CupState]:
    every = cup_states(at_table, state, now=after(seconds))
    one_by_one = [
        cup_state(at_table, state, nth=nth, now=after(seconds)) for nth in range(len(every))
    ]
    assert list(every) == one_by_one
    return one_by_one


def poured(*facts: Event) -> TableState:
    events = [event(1, "table set", -60), event(2, "poured", 0), *facts]
    return snapshot_in(three_bowls(), events)


def broken(*facts: Event) -> TableState:
    return poured(event(3, "broken", 240), *facts)


def test_bowls_are_poured_and_broken_at_the_house_pace() -> None:
    pace, steep = STANDARD.pace_s, STANDARD.steep_s
    events = [event(1, "table set", 0), event(2, "poured", 60), event(3, "broken", 60 + steep)]
    state = snapshot_in(two_bowls(), events)

    held = {
        at: bowls(two_bowls(), state, at)
        for at in (59, 60, 60 + pace - 1, 60 + pace, 60 + steep, 60 + steep + pace, 9999)
    }

    assert held[59] == [CupState.DOSED, CupState.DOSED]
    assert held[60] == [CupState.POURED, CupState.DOSED]
    assert held[60 + pace - 1] == [CupState.POURED, CupState.DOSED]
    assert held[60 + pace] == [CupState.POURED, CupState.POURED]
    assert held[60 + steep] == [CupState.BROKEN, CupState.POURED]
    assert held[60 + steep + pace] == [CupState.BROKEN, CupState.BROKEN]
    # Nobody planned when such a table is skimmed.
    assert held[9999] == [CupState.BROKEN, CupState.BROKEN]


def test_a_bowl_of_a_later_wave_waits_for_its_water() -> None:
    waves = tuple(
        CupTimes(pour_s=at, break_s=at + 240, skim_s=at + 300)
        for at in (*range(0, 64, 8), *range(300, 356, 8))
    )
    at_table = table("Ines", course=waves)
    events = [event(1, "table set", 0), event(2, "poured", 0), event(3, "broken", 250)]
    state = snapshot_in(at_table, events)

    # The first wave is broken from 250 s on, as it was tapped: ten seconds late, and so are all.
    held = [cup_state(at_table, state, nth=nth, now=after(300)) for nth in (0, 6, 7, 8, 9)]

    assert held == ["broken", "broken", "poured", "poured", "dosed"]


def test_nothing_is_said_of_bowls_that_was_not_tapped() -> None:
    given_up = snapshot_in(two_bowls(), [event(1, "abandoned")])

    assert bowls(two_bowls(), snapshot_in(two_bowls(), []), 0) == [CupState.EMPTY] * 2
    assert bowls(two_bowls(), given_up, 9999) == [CupState.EMPTY] * 2
    filled = snapshot_in(two_bowls(), [event(1, "table set")])
    assert bowls(two_bowls(), filled, 9999) == [CupState.DOSED] * 2


def test_the_skim_follows_the_course_and_is_over_once_that_is_said() -> None:
    by_course, said = broken(), broken(event(4, "skimmed", 305))

    assert bowls(three_bowls(), by_course, 309) == ["skimmed", "broken", "broken"]
    assert bowls(three_bowls(), by_course, 320) == ["skimmed"] * 3
    assert bowls(three_bowls(), said, 306) == ["skimmed"] * 3


def test_a_bowl_poured_late_has_a_clock_of_its_own() -> None:
    late: CupClock = cup_clock(three_bowls(), broken(fact(4, "bowl poured", 70, cup=2)), nth=1)

    assert (late.poured_at, late.break_due) == (after(70), after(310))
    # It waits for its own cue, though the first break was tapped at 240 s.
    assert (late.broken_at, late.skimmed_at) == (after(310), after(370))
    # Twelve minutes after its own pour.
    assert late.taste_from == after(790)
    assert late.noted == {"bowl poured"}


def test_a_bowl_broken_late_goes_before_the_course() -> None:
    state = broken(fact(4, "bowl broken", 275, cup=2))

    first, second, third = clocks_of(three_bowls(), state)

    assert (first.broken_at, second.broken_at, third.broken_at) == (
        after(240),
        after(275),
        after(260),
    )
    assert bowls(three_bowls(), state, 270) == ["broken", "poured", "broken"]


def test_nothing_is_due_before_the_first_pour_and_no_break_is_claimed_before_it_is_said() -> None:
    assert cup_clock(three_bowls(), snapshot_in(three_bowls(), []), nth=0) == CupClock()
    clock = cup_clock(three_bowls(), poured(), nth=1)
    assert (clock.break_due, clock.broken_at, clock.skimmed_at) == (after(250), None, None)
    assert clock.skim_due == after(310)


def test_a_spilt_bowl_is_spilt_whatever_the_course_says() -> None:
    state = broken(fact(4, "bowl spilt", 250, cup=3))

    assert bowls(three_bowls(), state, 249)[2] == "poured"
    assert bowls(three_bowls(), state, 999) == ["skimmed", "skimmed", "spilt"]


def test_a_place_is_tasted_once_its_last_bowl_may_be() -> None:
    late = poured(fact(4, "bowl poured", 70, cup=2))
    spilt = poured(fact(4, "bowl poured", 70, cup=2), fact(5, "bowl spilt", 90, cup=2))

    assert taste_from(three_bowls(), late) == {"p1": after(790)}
    assert taste_from(three_bowls(), spilt) == {"p1": after(740)}
    assert taste_from(three_bowls(), snapshot_in(three_bowls(), [])) == {}


def test_undone_pour_empties_the_picture_again() -> None:
    taken_back = snapshot_in(
        two_bowls(), [event(1, "table set"), event(2, "poured"), event(3, "undone")]
    )

    assert bowls(two_bowls(), taken_back, 9999) == [CupState.DOSED] * 2


@given(HISTORIES, st.integers(0, 800), st.integers(0, 800))
def test_bowl_never_goes_back_by_itself(kinds: list[EventKind], one: int, other: int) -> None:
    rank = list(CupState)
    events = [event(nth, kind) for nth, kind in enumerate(kinds, start=1)]
    state = snapshot_in(three_bowls(), events)

    earlier = bowls(three_bowls(), state, min(one, other))
    later = bowls(three_bowls(), state, max(one, other))

    assert all(rank.index(a) <= rank.index(b) for a, b in zip(earlier, later, strict=True))
    # The course goes from the first bowl to the last.
    assert all(
        rank.index(a) >= rank.index(b) for held in (earlier, later) for a, b in pairwise(held)
    )
