import pytest
from at_the_table import finish, said, seated, send, under_way, whole_sheet
from fastapi import FastAPI
from fastapi.testclient import TestClient

from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.services.devices.codes import find_by_code
from crustbreak.services.devices.join import Seated, take_seat
from crustbreak.services.tables.actions import look_at, uncover
from crustbreak.services.tables.views import view_table
from crustbreak.web.host.table.seating import add_seating

VERDICT = {
    "word:Marrow Hill": "buy",
    "word:Sallow Bridge": "buy",
    "word:Fen Cross": "buy",
    "reason": "Good.",
    "decided_by": "Piet",
}


@pytest.fixture
def table(lab: Lab) -> Table:
    return under_way(lab, tasters=("Odile", "Anouk"))


def address(table: Table, act: str, nth: int = 0) -> str:
    return f"/tables/{table.id}/seats/{table.seats[nth].id}/{act}"


def page(host: TestClient, table: Table) -> str:
    return host.get(f"/tables/{table.id}").text


def test_adds_only_acts_that_are_sent_and_one_stream(lab: Lab) -> None:
    app = FastAPI()
    before = len(app.routes)

    add_seating(app, lab)

    added = [route for route in app.routes[before:] if "POST" not in route.methods]
    assert [route.path for route in added] == ["/tables/{table_id}/stream"]


def test_shows_a_code_for_another_device_until_it_is_used(
    host: TestClient, lab: Lab, table: Table
) -> None:
    seated(lab, table)

    host.post(address(table, "device"))
    leave = view_table(lab, table.id).seats[0].leave
    assert leave
    shown = page(host, table)
    token = find_by_code(lab, leave.code)
    take_seat(lab, token, table.seats[0].id, "e" * 32)

    assert f"{leave.code[:3]} {leave.code[3:]}" in shown
    assert f"{leave.code[:3]} {leave.code[3:]}" not in page(host, table)
    assert "device 1, not heard since the lab was opened, given up" in page(host, table)


def test_lets_a_helper_in(host: TestClient, lab: Lab, table: Table) -> None:
    host.post(f"/tables/{table.id}/helper")

    assert "Code for a helper at the table" in page(host, table)


def test_says_not_us_and_takes_it_back(host: TestClient, lab: Lab, table: Table) -> None:
    seated(lab, table)

    host.post(address(table, "refuse/1"))
    refused = page(host, table)
    host.post(address(table, "let-back/1"))

    assert "device 1: not us" in refused
    assert "device 1: not us" not in page(host, table)


def test_goes_on_without_a_seat_and_says_so_in_the_memo(
    host: TestClient, lab: Lab, table: Table
) -> None:
    finish(lab, seated(lab, table, 0))

    without = host.post(address(table, "leave-out", 1), data={"reason": "<b>Ill</b>"})
    shown = page(host, table)
    host.post(f"/tables/{table.id}/taps/uncover")
    host.post(f"/tables/{table.id}/verdict", data=VERDICT)
    memo = host.get(f"/tables/{table.id}/memo").text

    assert without.status_code == 303
    assert "&lt;b&gt;Ill&lt;/b&gt;" in shown
    assert "Left out: Anouk. Reason: &lt;b&gt;Ill&lt;/b&gt;" in memo
    assert "One taster: the order is one person" in memo


def test_takes_a_seat_back_in(host: TestClient, lab: Lab, table: Table) -> None:
    finish(lab, seated(lab, table, 0))
    host.post(address(table, "leave-out", 1), data={"reason": "Ill."})

    host.post(address(table, "bring-back", 1))

    assert look_at(lab, table.id)[1].flight == "under way"


def test_asks_for_a_reason(host: TestClient, lab: Lab, table: Table) -> None:
    answer = host.post(address(table, "leave-out", 1), data={"reason": " "})

    assert answer.status_code == 422
    assert "Why without Anouk" in answer.text


def with_a_late_mark(lab: Lab, table: Table) -> Seated:
    finish(lab, seated(lab, table, 1))
    at = seated(lab, table, 0)
    marks = whole_sheet(lab, at)
    calls = [
        said(at, len(marks) + 3 + nth, "call", place=place.id, value="buy")
        for nth, place in enumerate(table.places)
    ]
    # A number that was set aside has arrived: the mark under the next device fills no gap.
    aside = {"grip": 1, "no": len(marks) + 1}
    send(lab, at, [*marks, aside, said(at, len(marks) + 2, "hand_in"), *calls])
    return at


def test_lets_late_marks_in_and_asks_for_a_verdict_on_the_new_evidence(
    host: TestClient, lab: Lab, table: Table
) -> None:
    at = with_a_late_mark(lab, table)
    host.post(address(table, "device"))
    leave = view_table(lab, table.id).seats[0].leave
    assert leave
    spare = take_seat(lab, leave.token, at.seat.id, "e" * 32)
    uncover(lab, table)
    host.post(f"/tables/{table.id}/verdict", data=VERDICT)
    place = table.places[0].id
    late = said(at, 999, "mark", place=place, line="note", round="hot", value="plum")
    # The old device's number lies past its hand-in: not to be let in.
    send(lab, spare, [late])
    beyond = page(host, table)
    host.post(address(table, "admit"), data={"reason": "The Wi-Fi was down."})

    assert "came after the uncovering" not in beyond
    assert look_at(lab, table.id)[1].flight == "decided"


def test_keeps_every_verdict_to_be_read(host: TestClient, lab: Lab, table: Table) -> None:
    finish(lab, seated(lab, table, 0))
    finish(lab, seated(lab, table, 1))
    uncover(lab, table)
    host.post(f"/tables/{table.id}/verdict", data=VERDICT)

    assert host.get(f"/tables/{table.id}/memo?verdict=1").status_code == 200
    assert host.get(f"/tables/{table.id}/memo?verdict=2").status_code == 404
    assert host.get(f"/tables/{table.id}/memo?verdict=-1").status_code == 422


def test_moves_the_cut_off_and_says_so_on_the_page(host: TestClient, table: Table) -> None:
    moved = host.post(
        f"/tables/{table.id}/cut-off", data={"cut_off": "81,5", "reason": "The <b>price</b> fell."}
    )
    shown = page(host, table)
    wrong = host.post(f"/tables/{table.id}/cut-off", data={"cut_off": "high", "reason": "So."})

    assert moved.status_code == 303
    assert "Cut-off, points: 81.50" in shown
    assert "after the first pour: The &lt;b&gt;price&lt;/b&gt; fell." in shown
    assert wrong.status_code == 422
    assert "a number from" in wrong.text
