import asyncio
from typing import Any

import pytest
from at_the_door import SETTINGS
from at_the_table import COFFEES, finish, planned, said, seated, under_way, whole_sheet
from fastapi import Request
from fastapi.testclient import TestClient

from crustbreak.core.errors import NotYours
from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.ports.live_state import Check
from crustbreak.services.devices.codes import give_pass
from crustbreak.services.devices.join import Seated, become_helper, take_seat
from crustbreak.services.tables.actions import table_set, uncover
from crustbreak.services.tables.seats import refuse_device
from crustbreak.services.tables.views import view_table
from crustbreak.web.phone.app import (
    BATCH,
    Batch,
    Found,
    Invited,
    Typed,
    Wish,
    device_of,
    help_of,
    phone_app,
    seat_of,
    secret_in,
    secret_of,
)


def sit(phones: TestClient, lab: Lab, table: Table, nth: int = 0) -> dict[str, str]:
    token = view_table(lab, table.id).invitation
    seat = phones.post("/join", json=Invited(token=token).model_dump()).json()["seats"][nth]
    wish = Wish(token=token, secret=f"{nth:032x}")
    phones.post(f"/seats/{seat['id']}", json=wish.model_dump())
    return {"Authorization": f"Bearer {wish.secret}"}


def test_joins_by_the_invitation(phones: TestClient, lab: Lab) -> None:
    table = planned(lab, tasters=("Odile", "Anouk"))
    token = view_table(lab, table.id).invitation

    before = phones.post("/join", json={"token": token}).json()
    sit(phones, lab, table)
    after = phones.post("/join", json={"token": token}).json()

    assert before["asks"] == "Which of these is worth buying?"
    assert [seat["taster"] for seat in before["seats"]] == ["Odile", "Anouk"]
    assert [seat["taken"] for seat in before["seats"]] == [False, False]
    assert [seat["taken"] for seat in after["seats"]] == [True, False]


def test_refuses_a_taken_seat_and_a_wrong_token(phones: TestClient, lab: Lab) -> None:
    table = planned(lab)
    token = view_table(lab, table.id).invitation
    sit(phones, lab, table)

    taken = phones.post(f"/seats/{table.seats[0].id}", json={"token": token, "secret": "f" * 32})
    wrong = phones.post("/join", json={"token": "guess"})

    assert (taken.status_code, wrong.status_code) == (409, 404)
    assert taken.json()["error"]["hint"]


def test_gives_the_sheet_without_what_a_word_is_worth(phones: TestClient, lab: Lab) -> None:
    table = under_way(lab)

    sheet = phones.get("/sheet", headers=sit(phones, lab, table)).json()

    assert sheet["sheet"]["ref"] == "ten_line/1"
    assert len(sheet["sheet"]["lines"]) == 12
    assert [place["cups"] for place in sheet["places"]] == [5, 5, 5]
    assert sheet["subjects"] == [place["id"] for place in sheet["places"]]
    assert "points" not in str(sheet)


@pytest.mark.parametrize(
    "headers", [{}, {"Authorization": "Bearer guess"}, {"Authorization": "Basic x"}]
)
@pytest.mark.parametrize("path", ["/sheet", "/state", "/uncovered"])
def test_knows_no_phone_without_its_secret(
    phones: TestClient, path: str, headers: dict[str, str]
) -> None:
    answer = phones.get(path, headers=headers)

    assert answer.status_code == 403
    assert set(answer.json()["error"]) == {"message", "hint", "problems"}


def test_gives_the_seat_of_a_secret(lab: Lab) -> None:
    table = planned(lab)
    secret = "a" * 32
    at = take_seat(lab, view_table(lab, table.id).invitation, table.seats[0].id, secret)
    request = Request({"type": "http", "app": phone_app(lab, SETTINGS)})

    assert asyncio.run(seat_of(device_of(request, secret))) == at
    assert lab.presence.last(at.device) == lab.clock.now()
    with pytest.raises(NotYours):
        device_of(request, "guess")
    with pytest.raises(NotYours, match="has a seat"):
        asyncio.run(help_of(at))


def test_reads_the_secret_of_a_phone() -> None:
    assert secret_of("Bearer said") == asyncio.run(secret_in("Bearer said")) == "said"
    for said_wrong in ("", "said", "Basic said"):
        with pytest.raises(NotYours):
            secret_of(said_wrong)


@pytest.mark.parametrize(
    ("body", "kind"),
    [
        (b'{"entries": []}', "text/plain"),
        (b'{"entries": []', "application/json"),
        (b'{"entries": 7}', "application/json"),
        (b'{"entries": [], "offset_ms": Infinity}', "application/json"),
        (b"\xff", "application/json"),
    ],
)
def test_what_is_no_batch_is_refused_in_the_one_shape(
    phones: TestClient, lab: Lab, body: bytes, kind: str
) -> None:
    table = planned(lab)
    secret = "a" * 32
    take_seat(lab, view_table(lab, table.id).invitation, table.seats[0].id, secret)
    headers = {"Authorization": f"Bearer {secret}", "Content-Type": kind}

    answer = phones.post("/entries", content=body, headers=headers)

    assert answer.status_code == 422
    error = answer.json()["error"]
    assert set(error) == {"message", "hint", "problems"}
    assert all(problem["rule"] for problem in error["problems"])


def test_a_stranger_is_refused_before_what_it_sends_is_read(phones: TestClient) -> None:
    answer = phones.post("/entries", headers={"Authorization": "Bearer guess"})

    assert answer.status_code == 403


def test_a_phone_that_is_not_recognised_adds_nothing(phones: TestClient, lab: Lab) -> None:
    table = under_way(lab)
    headers = sit(phones, lab, table)
    at = Seated(table=table, seat=table.seats[0], grip=1)
    refuse_device(lab, table, table.seats[0].id, 1)
    place = table.places[0].id
    mark = said(at, 1, "mark", place=place, line="flavor", round="hot", value=8.0)

    answer = phones.post("/entries", headers=headers, json={"entries": [mark]})

    assert answer.status_code == 403
    assert "not recognised" in answer.json()["error"]["message"]
    assert lab.repository.read(lambda records: records.entries(table.id)) == ()


def test_tells_a_helper_from_a_taster(phones: TestClient, lab: Lab) -> None:
    table = planned(lab)
    leave = give_pass(lab, table, None)
    found = phones.post("/code", json=Typed(code=f" {leave.code.lower()} ").model_dump()).json()
    way = phones.post("/join", json=found).json()["way"]
    wish = Wish(token=found["token"], secret="b" * 32)

    came = phones.post("/helper", json=wish.model_dump()).json()
    headers = {"Authorization": f"Bearer {wish.secret}"}

    assert way == "helper"
    assert came == {"table": table.id, "helper": True, "grip": 1}
    assert phones.get("/help", headers=headers).json()["state"]["can"] == []
    assert phones.get("/state", headers=headers).json()["flight"] == "planned"
    assert phones.get("/sheet", headers=headers).status_code == 403
    assert phones.get("/help", headers=sit(phones, lab, table)).status_code == 403
    with pytest.raises(NotYours, match="has no seat"):
        asyncio.run(seat_of(become_helper(lab, found["token"], wish.secret)))


def test_a_helpers_tap_pours(phones: TestClient, lab: Lab) -> None:
    table = planned(lab)
    table_set(lab, table)
    wish = Wish(token=give_pass(lab, table, None).token, secret="b" * 32)
    phones.post("/helper", json=wish.model_dump())
    headers = {"Authorization": f"Bearer {wish.secret}"}
    tap = {**said(Seated(table=table, seat=table.seats[0], grip=1), 1, "poured"), "sheet": ""}

    answer = phones.post("/entries", headers=headers, json=Batch(entries=[tap]).model_dump())

    assert answer.json()["answers"][0]["word"] == "kept"
    assert phones.get("/state", headers=headers).json()["can"] == ["broken", "undo poured"]


def test_remembers_what_a_phone_found(phones: TestClient, lab: Lab) -> None:
    table = planned(lab)
    headers = sit(phones, lab, table)
    found = Found(keeps=True, streams=False, round_trip_ms=12.5, offset_ms=-600_000.0)

    answer = phones.post("/check", headers=headers, json=found.model_dump())

    device = view_table(lab, table.id).seats[0].devices[0]
    assert answer.json() == {"heard": True}
    assert device.check == Check(
        keeps=True, streams=False, round_trip_ms=12.5, offset_ms=-600_000.0
    )
    assert device.offset_ms == -600_000.0


@pytest.mark.parametrize("offset", ["NaN", "Infinity", "1e300"])
def test_takes_no_clock_that_is_none(phones: TestClient, lab: Lab, offset: str) -> None:
    headers = {**sit(phones, lab, planned(lab)), "Content-Type": "application/json"}

    answer = phones.post(
        "/entries", headers=headers, content=f'{{"entries": [], "offset_ms": {offset}}}'
    )

    assert answer.status_code == 422


def test_gives_what_a_spare_device_and_a_paper_need(phones: TestClient, lab: Lab) -> None:
    table = planned(lab)
    headers = sit(phones, lab, table)

    sheet = phones.get("/sheet", headers=headers).json()

    assert sheet["addresses"] == ["http://lab.test:8771", "http://ketterby.local:8771"]
    assert len(sheet["paper_code"]) == 3
    assert sheet["state"]["holds"] is True
    assert sheet["state"]["left_out"] is None
    assert sheet["state"]["decided_at"] is None


def test_takes_entries_and_gives_them_back_to_the_same_seat(phones: TestClient, lab: Lab) -> None:
    table = under_way(lab)
    headers = sit(phones, lab, table)
    marks = whole_sheet(lab, Seated(table=table, seat=table.seats[0], grip=1))

    answer = phones.post("/entries", headers=headers, json={"entries": marks[:BATCH]})

    assert {each["word"] for each in answer.json()["answers"]} == {"kept"}
    back = phones.get("/sheet", headers=headers).json()["entries"]
    assert back == [{**mark, "word": "kept"} for mark in marks[:BATCH] if mark]


def test_answers_a_bad_entry_and_the_next(phones: TestClient, lab: Lab) -> None:
    table = under_way(lab)
    at = Seated(table=table, seat=table.seats[0], grip=1)
    good: dict[str, Any] = said(
        at, 1, "mark", place=table.places[0].id, line="body", round="warm", value=7.5
    )

    answers = phones.post(
        "/entries",
        headers=sit(phones, lab, table),
        json=Batch(entries=["nonsense", good]).model_dump(),
    ).json()["answers"]

    assert [answer["word"] for answer in answers] == ["set aside", "kept"]
    assert answers[0]["rule"]
    assert answers[0]["remedy"]


@pytest.mark.parametrize("body", [{}, {"entries": "many"}, {"entries": [None] * (BATCH + 1)}, []])
def test_says_in_one_shape_what_it_cannot_read(phones: TestClient, lab: Lab, body: object) -> None:
    headers = sit(phones, lab, under_way(lab))

    answer = phones.post("/entries", headers=headers, json=body)

    assert answer.status_code == 422
    assert answer.json()["error"]["problems"][0]["where"].startswith("body")


def test_tells_how_the_table_stands(phones: TestClient, lab: Lab) -> None:
    table = under_way(lab)

    state = phones.get("/state", headers=sit(phones, lab, table)).json()

    assert (state["flight"], state["seat"], state["called"]) == ("under way", "open", False)
    assert state["since_pour_s"] == 0
    assert state["cups"][table.places[0].id] == ["broken", *["dosed"] * 4]


def test_says_no_coffees_name_before_the_uncovering(phones: TestClient, lab: Lab) -> None:
    table = under_way(lab)
    headers = sit(phones, lab, table)
    finish(lab, Seated(table=table, seat=table.seats[0], grip=1))

    answers = [
        phones.get(path, headers=headers) for path in ("/", "/sheet", "/state", "/uncovered")
    ]

    assert [answer.status_code for answer in answers] == [200, 200, 200, 403]
    said_there = "".join(f"{answer.text}{answer.headers}" for answer in answers)
    assert not any(coffee in said_there for coffee in COFFEES)
    assert table.occasion not in said_there


def test_gives_a_taster_the_names_in_the_end(phones: TestClient, lab: Lab) -> None:
    table = under_way(lab, tasters=("Odile", "Anouk"))
    headers = sit(phones, lab, table, nth=0)
    finish(lab, Seated(table=table, seat=table.seats[0], grip=1))
    finish(lab, seated(lab, table, 1), points=7.0, call="decline")
    uncover(lab, table)
    seen = phones.get("/uncovered", headers=headers).json()

    assert {coffee["coffee"] for coffee in seen["coffees"]} == set(COFFEES)
    # 7 x 8.00 + 30 and 7 x 7.00 + 30: the protocol's own sum, [S1].
    assert {coffee["own_total"] for coffee in seen["coffees"]} == {86.0}
    assert seen["coffees"][0]["others"] == [{"taster": "Anouk", "total": 79.0}]
    assert "give or take" in seen["how_sure"]


def test_says_which_entries_are_late(phones: TestClient, lab: Lab) -> None:
    table = under_way(lab)
    at = Seated(table=table, seat=table.seats[0], grip=1)
    headers = sit(phones, lab, table)
    place = table.places[0].id
    late = said(at, 2, "mark", place=place, line="flavor", round="hot", value=9.0)
    things = {"entries": [said(at, 1, "hand_in"), late]}
    phones.post("/entries", headers=headers, json=things)

    entries = phones.get("/sheet", headers=headers).json()["entries"]

    assert [entry["word"] for entry in entries] == ["kept", "kept late"]


def test_answers_an_id_that_no_answer_can_carry(phones: TestClient, lab: Lab) -> None:
    headers = {**sit(phones, lab, under_way(lab)), "content-type": "application/json"}

    answer = phones.post("/entries", headers=headers, content=b'{"entries":[{"id":"\\ud800"}]}')

    assert answer.status_code == 200
    assert [(each["id"], each["word"]) for each in answer.json()["answers"]] == [("", "set aside")]


@pytest.mark.parametrize("path", ["/nowhere", "/openapi.json", "/entries"])
def test_says_in_one_shape_that_nothing_is_there(phones: TestClient, path: str) -> None:
    answer = phones.get(path)

    assert answer.status_code in (404, 405)
    assert set(answer.json()["error"]) == {"message", "hint", "problems"}


def test_mounts_nothing_of_the_host(lab: Lab) -> None:
    paths = {getattr(route, "path", "") for route in phone_app(lab, SETTINGS).routes}

    assert not any(path.startswith(("/tables", "/plan")) for path in paths)
