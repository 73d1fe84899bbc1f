from at_the_table import (
    StandingClock,
    planned,
    seated,
    send,
    uncovered,
    under_way,
    whole_sheet,
)

from crustbreak.domain.tables.transitions import CupState, FlightState
from crustbreak.ports.lab import Lab
from crustbreak.services.tables.actions import abandon
from crustbreak.services.tables.views import HostView, SeatLine, cups_at, list_tables, view_table


def test_shows_the_host_how_far_a_seat_is_and_not_what_it_said(lab: Lab) -> None:
    table = under_way(lab, tasters=("Odile", "Anouk"))
    at = seated(lab, table)
    send(lab, at, whole_sheet(lab, at))

    view: HostView = view_table(lab, table.id)

    assert all(isinstance(line, SeatLine) for line in view.seats)
    assert [len(line.devices) for line in view.seats] == [1, 0]
    assert [line.kept for line in view.seats] == [3 * (7 + 4 * 5), 0]


def test_counts_what_was_set_aside(lab: Lab) -> None:
    table = under_way(lab)
    send(lab, seated(lab, table), ["nonsense"])

    assert view_table(lab, table.id).set_aside == 1


def test_draws_the_bowls_by_the_taps_and_the_pace(lab: Lab, clock: StandingClock) -> None:
    table = under_way(lab)

    clock.pass_seconds(table.recipe.pace_s * 4)
    cups = view_table(lab, table.id).cups

    assert cups[:5] == (CupState.BROKEN,) * 5
    assert cups[5:] == (CupState.DOSED,) * 10


def test_gives_the_cups_of_a_moment(lab: Lab, clock: StandingClock) -> None:
    table = planned(lab)
    state = view_table(lab, table.id).state

    assert cups_at(table, state, now=clock.now()) == (CupState.EMPTY,) * 15


def test_a_clock_that_was_put_back_pours_nothing_back(lab: Lab, clock: StandingClock) -> None:
    table = under_way(lab)
    state = view_table(lab, table.id).state

    clock.pass_seconds(-3600)

    assert cups_at(table, state, now=clock.now()) == (CupState.SKIMMED,) * 15


def test_lists_tables_with_where_they_stand(lab: Lab, clock: StandingClock) -> None:
    first = uncovered(lab)
    clock.pass_seconds(60)
    second = planned(lab)
    clock.pass_seconds(60)
    third = planned(lab)
    abandon(lab, third, "")

    listed = [(table.id, flight) for table, flight in list_tables(lab)]

    assert listed == [
        (third.id, FlightState.ABANDONED),
        (second.id, FlightState.PLANNED),
        (first.id, FlightState.UNCOVERED),
    ]
