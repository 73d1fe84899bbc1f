from at_the_table import (
    COFFEES,
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
from crustbreak.services.results.decide import decide
from crustbreak.services.tables.actions import abandon
from crustbreak.services.tables.views import (
    ENDED_A_PAGE,
    HostView,
    LiveView,
    SeatLine,
    Today,
    cups_at,
    last_planned,
    list_flights,
    list_tables,
    list_today,
    view_live,
    view_table,
)


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


def test_today_tells_what_is_owed_from_what_is_done(lab: Lab, clock: StandingClock) -> None:
    done = uncovered(lab)
    decide(lab, done, dict.fromkeys(COFFEES, "buy"), reason="Good.", decided_by="Piet")
    clock.pass_seconds(60)
    kept = planned(lab)
    clock.pass_seconds(60)
    given_up = planned(lab)
    abandon(lab, given_up, "")

    today: Today = list_today(lab)

    assert [(table.id, flight) for table, flight in today.owed] == [(kept.id, "planned")]
    assert [table.id for table, _ in today.done] == [given_up.id, done.id]
    assert [each.ended for each in today.ended] == ["abandoned", "decided"]
    assert today.last == {"choose": kept}
    assert (today.older, today.flights) == ("", ())
    assert list_today(lab, before=given_up.id).owed == ()


def test_what_is_done_is_told_page_by_page(lab: Lab, clock: StandingClock) -> None:
    for _ in range(ENDED_A_PAGE + 1):
        abandon(lab, planned(lab), "")
        clock.pass_seconds(60)

    first = list_today(lab)
    second = list_today(lab, before=first.older)

    assert (len(first.done), len(second.done), second.older) == (ENDED_A_PAGE, 1, "")


def test_the_newest_table_is_what_the_next_begins_with(lab: Lab, clock: StandingClock) -> None:
    assert last_planned(lab) == ((), ())
    planned(lab)
    clock.pass_seconds(60)
    newest = planned(lab)

    (table,), coffees = last_planned(lab)

    assert table == newest
    assert [coffee.name for coffee in coffees] == [*COFFEES]


def test_what_is_polled_is_what_the_page_shows(lab: Lab) -> None:
    table = under_way(lab)
    at = seated(lab, table)
    send(lab, at, [*whole_sheet(lab, at)[:3], "nonsense"])

    live: LiveView = view_live(lab, table.id)
    whole = view_table(lab, table.id)

    assert (live.state, live.cups, live.code) == (whole.state, whole.cups, whole.code)
    assert (live.seats, live.set_aside) == (whole.seats, 1)


def test_an_unknown_first_look_has_no_flights(lab: Lab) -> None:
    planned(lab)

    assert list_flights(lab, "nobody's") == ()
    assert list_flights(lab, "") == ()
