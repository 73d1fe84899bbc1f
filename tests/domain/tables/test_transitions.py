"""Three machines: everything can be reached, and the end is the end."""

from collections.abc import Mapping

import pytest

from crustbreak.domain.tables.transitions import (
    CUP,
    FLIGHT,
    SEAT,
    CupState,
    FlightState,
    SeatState,
    may_follow,
)

MACHINES = [
    (FLIGHT, FlightState.PLANNED, {FlightState.DECIDED, FlightState.ABANDONED}),
    (CUP, CupState.EMPTY, {CupState.SPILT}),
    (SEAT, SeatState.OPEN, {SeatState.HANDED_IN}),
]
NAMES = ["flight", "cup", "seat"]

Machine = Mapping[tuple[str, str], str]


def reached_from(start: str, machine: Machine) -> set[str]:
    reached, fresh = {start}, {start}
    while fresh:
        fresh = {to for (state, _), to in machine.items() if state in fresh} - reached
        reached |= fresh
    return reached


@pytest.mark.parametrize(("machine", "start", "ends"), MACHINES, ids=NAMES)
def test_every_state_is_reached_from_the_first(
    machine: Machine, start: str, ends: set[str]
) -> None:
    assert reached_from(start, machine) == set(type(start))


@pytest.mark.parametrize(("machine", "start", "ends"), MACHINES, ids=NAMES)
def test_only_the_last_states_have_no_way_out(machine: Machine, start: str, ends: set[str]) -> None:
    # Late marks that are let in, and bowls read once more, lead to a verdict once more.
    ways = {state for state, act in machine if act not in ("admitted", "bowls read")}

    assert set(type(start)) - ways == ends


@pytest.mark.parametrize(("machine", "start", "ends"), MACHINES, ids=NAMES)
def test_an_end_can_be_reached_from_everywhere(
    machine: Machine, start: str, ends: set[str]
) -> None:
    assert all(ends & reached_from(state, machine) for state in type(start))


def test_codes_get_names_only_after_hand_in_and_call() -> None:
    sealed = set(FlightState) - {FlightState.UNCOVERED, FlightState.DECIDED}

    ways = {state for (state, _), to in FLIGHT.items() if to == FlightState.UNCOVERED}

    assert ways & sealed == {FlightState.CALLED}
    assert [state for state in FlightState if may_follow(state, "uncovered")] == [
        FlightState.CALLED
    ]


def test_table_with_a_result_is_not_given_up() -> None:
    assert {state for state in FlightState if may_follow(state, "abandoned")} == {
        FlightState.PLANNED,
        FlightState.SET,
        FlightState.UNDER_WAY,
        FlightState.HANDED_IN,
        FlightState.CALLED,
    }


def test_word_that_is_no_event_never_follows() -> None:
    assert not any(may_follow(state, "celebrated") for state in FlightState)
