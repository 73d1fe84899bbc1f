"""Who may know what: the whole of it, role by role and state by state."""

from itertools import product

import pytest

from crustbreak.domain.tables.blinding import Role, may_know_duplicate, may_know_key, may_see_totals
from crustbreak.domain.tables.transitions import FlightState

# One row a state: setter, host and taster may know the key; any total.
MATRIX = {
    FlightState.PLANNED: (True, False, False, False),
    FlightState.SET: (True, False, False, False),
    FlightState.UNDER_WAY: (False, False, False, False),
    FlightState.HANDED_IN: (False, False, False, False),
    FlightState.CALLED: (False, False, False, False),
    FlightState.UNCOVERED: (True, True, True, True),
    FlightState.DECIDED: (True, True, True, True),
    FlightState.ABANDONED: (False, False, False, False),
}
ROLES = (Role.SETTER, Role.HOST, Role.TASTER)


def test_matrix_holds_every_state_and_every_role() -> None:
    assert set(MATRIX) == set(FlightState)
    assert set(ROLES) == set(Role)


@pytest.mark.parametrize(("flight", "role"), list(product(FlightState, ROLES)))
def test_key_is_known_to_the_setter_before_water_and_to_all_after_uncovering(
    flight: FlightState, role: Role
) -> None:
    assert may_know_key(role, flight) is MATRIX[flight][ROLES.index(role)]
    # Once there was water, only the uncovering opens it, whatever was taken back.
    opened = flight in (FlightState.UNCOVERED, FlightState.DECIDED)
    assert may_know_key(role, flight, water=True) is opened


@pytest.mark.parametrize("flight", FlightState)
def test_no_total_is_seen_while_codes_are_sealed(flight: FlightState) -> None:
    assert may_see_totals(flight) is MATRIX[flight][3]


@pytest.mark.parametrize("flight", FlightState)
def test_what_stood_twice_is_known_after_the_calls_to_who_asks(flight: FlightState) -> None:
    opened = flight in (FlightState.UNCOVERED, FlightState.DECIDED)

    assert may_know_duplicate(flight, is_shown=False) is opened
    assert may_know_duplicate(flight, is_shown=True) is (opened or flight is FlightState.CALLED)
