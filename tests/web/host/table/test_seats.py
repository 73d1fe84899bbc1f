from dataclasses import replace
from datetime import timedelta

import pytest
from at_the_table import (
    MORNING,
    StandingClock,
    planned,
    said,
    seated,
    send,
    under_way,
    whole_sheet,
)

from crustbreak.ports.lab import Lab
from crustbreak.ports.live_state import Check
from crustbreak.services.devices.codes import give_pass
from crustbreak.services.tables.seats import leave_out, refuse_device
from crustbreak.services.tables.views import DeviceLine, view_table
from crustbreak.web.host.table.seats import (
    check_text,
    device_text,
    draw_qr,
    pass_view,
    seat_line,
    seat_text,
    seat_view,
    spaced,
    tried_text,
)

DEVICE = DeviceLine(
    grip=1,
    joined_at=MORNING,
    holds=True,
    refused=False,
    heard_at=MORNING,
    check=None,
    offset_ms=None,
)


def test_says_that_a_seat_waits_for_what_is_on_its_way(lab: Lab) -> None:
    table = under_way(lab)
    at = seated(lab, table)
    marks = whole_sheet(lab, at)
    send(lab, at, [marks[0], marks[2]])
    before = seat_text(view_table(lab, table.id).seats[0])
    send(lab, at, [said(at, 4, "hand_in")])

    after = seat_text(view_table(lab, table.id).seats[0])

    assert (before, after) == ("2 in the lab, 1 on the way", "handed in, waits for 1 entry")


@pytest.mark.parametrize(
    ("changed", "said_so"),
    [
        ({}, "device 1, in reach"),
        ({"heard_at": MORNING - timedelta(seconds=90)}, "device 1, silent for 90 s"),
        ({"heard_at": MORNING - timedelta(minutes=7)}, "device 1, silent for 7 min"),
        ({"heard_at": None}, "device 1, not heard since the lab was opened"),
        # The laptop's clock was put back meanwhile.
        ({"heard_at": MORNING + timedelta(hours=1)}, "device 1, in reach"),
        ({"holds": False}, "device 1, in reach, given up for a newer one"),
        ({"refused": True}, "device 1: not us"),
        (
            {"offset_ms": -600_000.0},
            "device 1, in reach, its clock is 10 min fast, which is put right",
        ),
        ({"offset_ms": 500.0}, "device 1, in reach"),
    ],
)
def test_says_how_a_device_is(changed: dict[str, object], said_so: str) -> None:
    assert device_text(replace(DEVICE, **changed), MORNING) == said_so


def test_says_what_a_device_found_only_when_something_is_wrong() -> None:
    well = Check(keeps=True, streams=True, round_trip_ms=20, offset_ms=0)
    ill = Check(keeps=False, streams=False, round_trip_ms=2500, offset_ms=0)

    assert (check_text(None), check_text(well)) == ("", "")
    assert check_text(ill) == (
        "keeps nothing by itself: paper beside it; hears of changes late; "
        "slow Wi-Fi, 2500 ms an answer"
    )


def test_a_phone_whose_marks_are_there_works_whatever_the_lab_has_forgotten(lab: Lab) -> None:
    table = under_way(lab)
    at = seated(lab, table)
    send(lab, at, whole_sheet(lab, at)[:1])

    assert tried_text(view_table(lab, table.id)) == "A phone works: what it said is in the lab."


def test_says_whether_a_phone_was_tried_before_the_grinding(lab: Lab) -> None:
    table = planned(lab)
    at = seated(lab, table)
    sayings = [tried_text(view_table(lab, table.id))]
    for keeps in (True, False):
        check = Check(keeps=keeps, streams=True, round_trip_ms=20, offset_ms=0)
        lab.presence.note(at.device, check)
        sayings.append(tried_text(view_table(lab, table.id)))

    assert [saying.split(".")[0].split(":")[0] for saying in sayings] == [
        "No phone has been tried yet",
        "A phone was tried",
        "A phone was tried and is not all right",
    ]


def test_gives_a_seat_what_can_be_done_about_it(lab: Lab, clock: StandingClock) -> None:
    table = planned(lab, tasters=("Odile", "Anouk"))
    seated(lab, table)
    refuse_device(lab, table, table.seats[0].id, 1)
    leave = give_pass(lab, table, table.seats[0].id)
    view = view_table(lab, table.id)

    seat = seat_view(view.seats[0], view, str)
    leave_out(lab, table, table.seats[1].id, "Ill.")
    view = view_table(lab, table.id)

    assert seat["devices"][0]["refused"] is True
    assert seat["leave"]["code"] == spaced(leave.code)
    assert (seat["may_change"], seat["may_leave_out"]) == (True, True)
    assert seat_view(view.seats[0], view, str)["may_leave_out"] is False
    assert seat_view(view.seats[1], view, str)["left_out"] == "Ill."


def test_draws_a_pass_to_be_scanned_and_spells_it(lab: Lab) -> None:
    leave = give_pass(lab, planned(lab), None)

    drawn = pass_view(leave, lambda token: f"http://lab.test/#{token}")

    assert pass_view(None, str) is None
    assert drawn == {
        "code": f"{leave.code[:3]} {leave.code[3:]}",
        "qr": draw_qr(f"http://lab.test/#{leave.token}"),
    }


def test_what_is_polled_of_a_seat_is_part_of_what_the_page_shows(lab: Lab) -> None:
    table = under_way(lab)
    seated(lab, table)
    view = view_table(lab, table.id)

    polled = seat_line(view.seats[0], view)
    shown = seat_view(view.seats[0], view, lambda token: f"http://lab.test/#{token}")

    assert polled.items() <= shown.items()
    assert [device["grip"] for device in polled["devices"]] == [1]
