import pytest
from at_the_table import planned, under_way

from crustbreak.domain.table.states import FlightState
from crustbreak.footing.errors import NotNow
from crustbreak.ports.lab import Lab
from crustbreak.services.standing import demand, demand_state, stand, subjects_of


def test_folds_what_the_books_hold(lab: Lab) -> None:
    table = under_way(lab)

    state = lab.books.read(lambda books: stand(lab, books, table))

    assert state.flight is FlightState.UNDER_WAY
    assert state.poured_at is not None
    assert state.problems == ()


def test_lists_every_code_as_a_subject_of_the_calls(lab: Lab) -> None:
    table = planned(lab)

    assert subjects_of(lab, table) == tuple(place.id for place in table.places)


def test_refuses_what_cannot_follow_with_the_next_step(lab: Lab) -> None:
    table = planned(lab)
    state = lab.books.read(lambda books: stand(lab, books, table))

    demand(state, "table set", hint="")
    with pytest.raises(NotNow, match="The table is planned") as refused:
        demand(state, "poured", hint="Set it first.")

    assert refused.value.hint == "Set it first."


def test_refuses_another_state(lab: Lab) -> None:
    table = planned(lab)
    state = lab.books.read(lambda books: stand(lab, books, table))

    demand_state(state, FlightState.PLANNED, hint="")
    with pytest.raises(NotNow):
        demand_state(state, FlightState.SET, hint="")
