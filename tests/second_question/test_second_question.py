"""A second question goes from plan to note through every layer, and touches nothing else."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from at_the_door import floor_client, host_client
from fastapi.testclient import TestClient
from twins.evidence import weigh_twins
from twins.papers import show_twins, twin_note
from twins.question import TWINS

from crustbreak.ports.lab import Lab
from crustbreak.ports.question_plugin import QuestionPlugin
from crustbreak.wiring import SHIPPED, open_lab

DATA = Path(__file__).parent / "twins" / "data"

# The one line that the wiring takes for it.
TWIN_KIT = QuestionPlugin(TWINS, weigh_twins, show_twins, twin_note)


@pytest.fixture
def lab(tmp_path: Path) -> Iterator[Lab]:
    plugins = (*SHIPPED, TWIN_KIT)
    with open_lab(tmp_path, name="Test lab", plugins=plugins, definitions=(DATA,)) as opened:
        yield opened


@pytest.fixture
def host(lab: Lab) -> Iterator[TestClient]:
    with host_client(lab) as client:
        yield client


@pytest.fixture
def floor(lab: Lab) -> Iterator[TestClient]:
    with floor_client(lab) as client:
        yield client


def plan(host: TestClient) -> str:
    answer = host.post(
        "/plan/twins",
        data={
            "coffees": "Marrow Hill\nMarrow Hill, arrival",
            "tasters": "Odile",
            "setter": "Piet",
            "cut_off": "1",
            "occasion": "Arrival",
        },
        follow_redirects=False,
    )
    assert answer.status_code == 303
    return answer.headers["location"]


def sit(host: TestClient, floor: TestClient, table: str) -> dict[str, str]:
    page = host.get(table).text
    token = page.split("http://lab.test:8771/#")[1].split("<")[0]
    seat = floor.post("/join", json={"token": token}).json()["seats"][0]["id"]
    secret = "0" * 32
    floor.post(f"/seats/{seat}", json={"token": token, "secret": secret})
    return {"Authorization": f"Bearer {secret}"}


def entry(no: int, kind: str, **said: object) -> dict[str, object]:
    return {
        "id": f"{no:032x}",
        "grip": 1,
        "no": no,
        "kind": kind,
        "sheet": "distance/1",
        "device_time": "2031-03-04T09:30:00Z",
        **said,
    }


def test_goes_from_plan_to_note_through_every_floor(host: TestClient, floor: TestClient) -> None:
    table = plan(host)
    host.post(f"{table}/taps/set")
    host.post(f"{table}/taps/pour")
    seat = sit(host, floor, table)
    sheet = floor.get("/sheet", headers=seat).json()
    marks = [
        entry(no, "mark", place=place["id"], line="distance", round="once", value=value)
        for no, (place, value) in enumerate(
            zip(sheet["places"], [0, 1, 2, 3, 4, 5], strict=True), 1
        )
    ]
    said = [*marks, entry(7, "hand_in"), entry(8, "call", value="two")]

    answers = floor.post("/entries", headers=seat, json={"entries": said}).json()["answers"]
    host.post(f"{table}/taps/uncover")
    subject = "word:Are these two one coffee?"
    verdict = {subject: "two", "reason": "Too far apart.", "decided_by": "Odile"}
    host.post(f"{table}/verdict", data=verdict)
    note = host.get(f"{table}/memo").text

    assert {answer["word"] for answer in answers} == {"kept"}
    assert sheet["subjects"] == [None]
    assert len({place["code"] for place in sheet["places"]}) == 6
    assert "<h1>two</h1>" in note
    assert "Marrow Hill, arrival" in note
    assert "Too far apart. Odile." in note


def test_says_its_own_evidence_on_the_host_page(host: TestClient, floor: TestClient) -> None:
    table = plan(host)
    host.post(f"{table}/taps/set")
    host.post(f"{table}/taps/pour")
    seat = sit(host, floor, table)
    places = floor.get("/sheet", headers=seat).json()["places"]
    marks = [
        entry(no, "mark", place=place["id"], line="distance", round="once", value=2)
        for no, place in enumerate(places, 1)
    ]
    said = [*marks, entry(7, "hand_in"), entry(8, "call", value="one")]
    floor.post("/entries", headers=seat, json={"entries": said})

    host.post(f"{table}/taps/uncover")
    page = host.get(table).text

    # Six bowls, each two steps from the open one: both coffees lie two steps away.
    assert "Marrow Hill: 2.00 from the open bowl" in page
    assert "Marrow Hill, arrival: 2.00 from the open bowl" in page


def test_stands_beside_the_shipped_question(host: TestClient) -> None:
    page = host.get("/").text

    assert "Are these two one coffee?" in page
    assert "Which of these is worth buying?" in page


def test_refuses_a_third_coffee(host: TestClient) -> None:
    answer = host.post("/plan/twins", data={"coffees": "a\nb\nc", "tasters": "d", "setter": "e"})

    assert answer.status_code == 422
    assert "Give 2 names." in answer.text


def test_records_its_sheet_and_question(host: TestClient, lab: Lab) -> None:
    table_id = plan(host).removeprefix("/tables/")

    table = lab.repository.read(lambda records: records.table(table_id))

    assert (table.question, table.sheet) == ("twins", "distance/1")
    assert json.dumps([place.cups for place in table.places]) == "[1, 1, 1, 1, 1, 1]"
