from collections.abc import Callable
from typing import Any

import pytest
from at_the_table import finish, planned, said, seated, send, under_way, whole_sheet

from crustbreak.core.errors import NotNow, NotThere, NotYours, Unacceptable
from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.transitions import FlightState
from crustbreak.ports.lab import Lab
from crustbreak.reports.render.terminal import as_text
from crustbreak.services.devices.codes import give_pass
from crustbreak.services.devices.join import Seated, hash_secret, recognise, take_seat
from crustbreak.services.devices.seat_view import view_seat
from crustbreak.services.devices.submissions import receive_entries
from crustbreak.services.results.decide import decide, evidence_of, memo_of
from crustbreak.services.results.taster_view import view_uncovered
from crustbreak.services.tables.actions import look_at, uncover
from crustbreak.services.tables.seats import (
    admissible,
    admit_late,
    bring_back,
    leave_out,
    let_device_back,
    refuse_device,
)
from crustbreak.services.tables.state import snapshot
from crustbreak.services.tables.views import view_table

TWO = ("Odile", "Anouk")


def flavor(at: Seated, no: int, value: Any = 8.0) -> dict[str, Any]:
    place = at.table.places[0].id
    return said(at, no, "mark", place=place, line="flavor", round="hot", value=value)


def flight(lab: Lab, table: Table) -> FlightState:
    return look_at(lab, table.id)[1].flight


def sat(lab: Lab, table: Table, secret: str) -> Seated:
    token = view_table(lab, table.id).invitation
    return take_seat(lab, token, table.seats[0].id, secret)


def test_lost_phone_blocks_the_table_no_longer(lab: Lab) -> None:
    table = under_way(lab, tasters=TWO)
    finish(lab, seated(lab, table, 0))
    seated(lab, table, 1)
    with pytest.raises(NotNow):
        uncover(lab, table)

    leave_out(lab, table, table.seats[1].id, "Her phone fell into the sink.")
    uncover(lab, table)

    evidence = evidence_of(lab, table)
    assert [len(coffee["tasters"]) for coffee in evidence["coffees"]] == [1, 1, 1]


def test_seat_that_was_left_out_can_be_brought_back_and_learns_what_it_drank(lab: Lab) -> None:
    table = under_way(lab, tasters=TWO)
    finish(lab, seated(lab, table, 0))
    second = seated(lab, table, 1)
    leave_out(lab, table, second.seat.id, "Ill.")

    before = flight(lab, table)
    bring_back(lab, table, second.seat.id)
    after = flight(lab, table)
    leave_out(lab, table, second.seat.id, "Ill after all.")
    uncover(lab, table)

    assert (before, after) == (FlightState.CALLED, FlightState.UNDER_WAY)
    seen = view_uncovered(lab, second)
    assert {place.coffee for place in seen.places} == {"Marrow Hill", "Sallow Bridge", "Fen Cross"}
    assert [place.own_total for place in seen.places] == [None] * 3


def test_leaving_out_needs_a_reason_somebody_left_and_a_sealed_table(lab: Lab) -> None:
    table = under_way(lab, tasters=TWO)
    one, other = (seat.id for seat in table.seats)

    with pytest.raises(Unacceptable):
        leave_out(lab, table, one, "  ")
    with pytest.raises(NotThere):
        leave_out(lab, table, "0" * 32, "Why not.")
    leave_out(lab, table, one, "Went home.")
    with pytest.raises(NotNow, match="left out already"):
        leave_out(lab, table, one, "Again.")
    with pytest.raises(NotNow, match="the last"):
        leave_out(lab, table, other, "All gone.")
    with pytest.raises(NotNow, match="not left out"):
        bring_back(lab, table, other)


def test_table_waits_for_a_mark_that_is_still_on_its_way(lab: Lab) -> None:
    table = under_way(lab)
    at = seated(lab, table)
    marks = whole_sheet(lab, at)
    calls = [
        said(at, len(marks) + 2 + nth, "call", place=place.id, value="buy")
        for nth, place in enumerate(table.places)
    ]
    send(lab, at, [*marks[:5], *marks[6:], said(at, len(marks) + 1, "hand_in"), *calls])

    before = view_table(lab, table.id)
    with pytest.raises(NotNow):
        uncover(lab, table)
    send(lab, at, marks[5:6])

    assert before.state.flight == FlightState.UNDER_WAY
    assert before.seats[0].view.missing == 1
    assert flight(lab, table) == FlightState.CALLED


def test_spare_device_goes_on_where_the_lost_one_was(lab: Lab) -> None:
    table = under_way(lab)
    old = seated(lab, table)
    send(lab, old, [flavor(old, 1, 8.0), flavor(old, 4, 6.0)])
    spare = take_seat(
        lab, give_pass(lab, table, old.seat.id).token, old.seat.id, lab.randomness.secret()
    )

    send(lab, spare, [flavor(spare, 1, 9.0)])
    late = send(lab, old, [flavor(old, 5, 7.0), said(old, 6, "hand_in")])

    side = view_seat(lab, spare)
    assert [mark.value for mark in side.view.marks] == [9.0]
    assert [answer.word for answer in late] == ["kept", "kept late"]
    assert (side.holds, view_seat(lab, old).holds) == (True, False)
    assert side.view.state == "tasting"
    finish(lab, Seated(table=table, seat=spare.seat, grip=2))


def test_older_device_still_fills_what_the_newer_left_empty(lab: Lab) -> None:
    table = under_way(lab)
    old = seated(lab, table)
    spare = take_seat(
        lab, give_pass(lab, table, old.seat.id).token, old.seat.id, lab.randomness.secret()
    )

    send(lab, old, [flavor(old, 1, 7.0)])

    assert [mark.value for mark in view_seat(lab, spare).view.marks] == [7.0]


def test_newer_device_may_send_again_what_the_older_had_said(lab: Lab) -> None:
    table = under_way(lab)
    old = seated(lab, table)
    receive_entries(lab, old, [flavor(old, 1)])
    spare = take_seat(
        lab, give_pass(lab, table, old.seat.id).token, old.seat.id, lab.randomness.secret()
    )

    again = receive_entries(lab, spare, [flavor(old, 1), flavor(old, 2, 9.0)])
    beyond = receive_entries(lab, old, [flavor(spare, 1)])

    assert [answer.word for answer in again] == ["kept", "kept"]
    assert [answer.word for answer in beyond] == ["set aside"]


def test_not_us_shuts_a_device_out_and_frees_the_seat(lab: Lab) -> None:
    table = under_way(lab)
    stranger = sat(lab, table, "a" * 32)
    marks = whole_sheet(lab, stranger)
    send(lab, stranger, [*marks, said(stranger, len(marks) + 1, "hand_in")])

    refuse_device(lab, table, stranger.seat.id, 1)

    with pytest.raises(NotYours, match="not recognised"):
        recognise(lab, "a" * 32)
    own = sat(lab, table, "b" * 32)
    assert own.grip == 2
    words = [answer.word for answer in receive_entries(lab, own, [flavor(own, 1, 9.0)])]
    view = view_table(lab, table.id).seats[0].view
    assert words == ["kept"]
    assert ([mark.value for mark in view.marks], view.refused) == ([9.0], len(marks) + 1)


def test_not_us_can_be_taken_back(lab: Lab) -> None:
    table = under_way(lab)
    at = sat(lab, table, "a" * 32)
    send(lab, at, [flavor(at, 1)])
    refuse_device(lab, table, at.seat.id, 1)

    let_device_back(lab, table, at.seat.id, 1)

    assert recognise(lab, "a" * 32).device == hash_secret("a" * 32)
    assert len(view_seat(lab, at).view.marks) == 1
    for act, grip, error in (
        (let_device_back, 1, NotNow),
        (refuse_device, 7, NotThere),
    ):
        with pytest.raises(error):
            act(lab, table, at.seat.id, grip)


@pytest.fixture
def late(lab: Lab) -> Table:
    """Give an uncovered table at which one mark came too late."""
    table = under_way(lab)
    at = seated(lab, table)
    marks = whole_sheet(lab, at)
    old = flavor(at, 200, 6.0)
    calls = [
        said(at, 202 + nth, "call", place=place.id, value="buy")
        for nth, place in enumerate(table.places)
    ]
    # The numbers up to the hand-in that are no marks: set aside, and so not waited for.
    blanks = [{"grip": 1, "no": no} for no in range(len(marks) + 1, 200)]
    send(lab, at, [*marks, *blanks, said(at, 201, "hand_in"), *calls])
    leave = give_pass(lab, table, at.seat.id)
    spare = take_seat(lab, leave.token, at.seat.id, lab.randomness.secret())
    uncover(lab, table)
    assert [answer.word for answer in send(lab, spare, [old])] == ["kept late"]
    return table


def total(lab: Lab, table: Table) -> list[float]:
    return sorted(coffee["tasters"][0]["total"] for coffee in evidence_of(lab, table)["coffees"])


def test_late_marks_made_before_the_hand_in_can_be_let_in(lab: Lab, late: Table) -> None:
    seat_id = late.seats[0].id
    before = total(lab, late)
    view = view_table(lab, late.id)
    assert [each.admissible for each in view.seats] == [1]

    admit_late(lab, late, seat_id, "Her phone had no network.")

    # 7 x 8.00 + 30 by the protocol's own sum, [S1]; one line 2.00 lower.
    assert (before, total(lab, late)) == ([86.0, 86.0, 86.0], [84.0, 86.0, 86.0])
    after = view_table(lab, late.id)
    assert [event.detail for event in after.admissions] == ["Her phone had no network."]
    found = lab.repository.read(lambda records: snapshot(lab, records, late))
    assert admissible(found, seat_id) == []
    with pytest.raises(NotNow):
        admit_late(lab, late, seat_id, "Once more.")


def test_letting_in_after_the_verdict_asks_for_another_and_keeps_the_first(
    lab: Lab, late: Table
) -> None:
    words = dict.fromkeys(("Marrow Hill", "Sallow Bridge", "Fen Cross"), "buy")
    first = decide(lab, late, words, reason="Good.", decided_by="Piet")

    admit_late(lab, late, late.seats[0].id, "Her phone had no network.")
    between = flight(lab, late)
    second = decide(lab, late, words, reason="Still good.", decided_by="Piet")

    kept = lab.repository.read(lambda records: records.verdicts(late.id))
    assert between == FlightState.UNCOVERED
    assert kept == (first, second)
    assert flight(lab, late) == FlightState.DECIDED
    assert "Still good." in as_text(memo_of(lab, late))


@pytest.mark.parametrize(
    "act",
    [
        lambda lab, table: leave_out(lab, table, table.seats[0].id, "Why."),
        lambda lab, table: bring_back(lab, table, table.seats[0].id),
        lambda lab, table: refuse_device(lab, table, table.seats[0].id, 1),
    ],
    ids=["leave out", "bring back", "not us"],
)
def test_who_counted_is_settled_at_the_uncovering(
    lab: Lab, late: Table, act: Callable[[Lab, Table], None]
) -> None:
    with pytest.raises(NotNow):
        act(lab, late)


def test_nothing_is_let_in_before_the_uncovering(lab: Lab) -> None:
    table = planned(lab)

    with pytest.raises(NotNow):
        admit_late(lab, table, table.seats[0].id, "Early.")
