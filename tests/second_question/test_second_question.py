"""A second question goes from plan to note through every layer, and touches nothing else."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from at_the_door import host_client, phone_client
from fastapi.testclient import TestClient
from twins.plugin import TWIN_PLUGIN
from twins.question import BLANK, BlankBowl

import crustbreak
from crustbreak.domain.capabilities import Capability
from crustbreak.ports.lab import Lab
from crustbreak.ports.question_plugin import QuestionPlugin
from crustbreak.wiring import SHIPPED, open_lab

DATA = Path(__file__).parent / "twins" / "data"


@pytest.fixture
def lab(tmp_path: Path) -> Iterator[Lab]:
    plugins = (*SHIPPED, TWIN_PLUGIN)
    with open_lab(tmp_path, name="Test lab", plugins=plugins, definitions=(DATA,)) as opened:
        yield opened


@pytest.fixture
def host(lab: Lab) -> Iterator[TestClient]:
    with host_client(lab) as client:
        yield client


@pytest.fixture
def phones(lab: Lab) -> Iterator[TestClient]:
    with phone_client(lab) as client:
        yield client


def plan(host: TestClient, **more: str) -> str:
    answer = host.post(
        "/plan/twins",
        data={
            "coffees": "Marrow Hill\nMarrow Hill, arrival",
            "tasters": "Odile",
            "setter": "Piet",
            "cut_off": "1",
            "occasion": "Arrival",
            **more,
        },
        follow_redirects=False,
    )
    assert answer.status_code == 303
    return answer.headers["location"]


def sit(host: TestClient, phones: TestClient, table: str) -> dict[str, str]:
    page = host.get(table).text
    token = page.split("http://lab.test:8771/#")[1].split("<")[0]
    seat = phones.post("/join", json={"token": token}).json()["seats"][0]["id"]
    secret = "0" * 32
    phones.post(f"/seats/{seat}", json={"token": token, "secret": secret})
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


def test_goes_from_plan_to_note_through_every_floor(host: TestClient, phones: TestClient) -> None:
    table = plan(host)
    host.post(f"{table}/taps/set")
    host.post(f"{table}/taps/pour")
    seat = sit(host, phones, table)
    sheet = phones.get("/sheet", headers=seat).json()
    marks = [
        entry(no, "mark", place=place["id"], line="distance", round="once", value=value)
        for no, (place, value) in enumerate(
            zip(sheet["places"], [0, 1, 2, 3, 4, 5], strict=True), 1
        )
    ]
    said = [*marks, entry(7, "hand_in"), entry(8, "call", value="two")]

    answers = phones.post("/entries", headers=seat, json={"entries": said}).json()["answers"]
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


def test_says_its_own_evidence_on_the_host_page(host: TestClient, phones: TestClient) -> None:
    table = plan(host)
    host.post(f"{table}/taps/set")
    host.post(f"{table}/taps/pour")
    seat = sit(host, phones, table)
    places = phones.get("/sheet", headers=seat).json()["places"]
    marks = [
        entry(no, "mark", place=place["id"], line="distance", round="once", value=2)
        for no, place in enumerate(places, 1)
    ]
    said = [*marks, entry(7, "hand_in"), entry(8, "call", value="one")]
    phones.post("/entries", headers=seat, json={"entries": said})

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


def test_a_capability_of_its_own_is_asked_for_planned_and_kept(host: TestClient, lab: Lab) -> None:
    page = host.get("/plan/twins").text
    location = plan(host, blank="yes")

    table = lab.repository.read(lambda records: records.table(location.removeprefix("/tables/")))
    names = [each.name for each in lab.repository.read(lambda records: records.coffees(table.id))]

    assert "Hot water among them" in page
    assert dict(table.asked) == {"version": 1, "blank": True}
    assert names == ["Marrow Hill", "Marrow Hill, arrival", BLANK]
    # Three bowls of each, and nobody sees which are water.
    assert [place.cups for place in table.places] == [1] * 9
    assert BLANK not in str(table)
    # The same is ticked when the plan is repeated.
    assert 'name="blank" value="yes" checked' in host.get(f"/plan/twins?like={table.id}").text


def test_a_capability_of_its_own_has_its_own_check(host: TestClient) -> None:
    answer = host.post(
        "/plan/twins",
        data={"coffees": f"Tarn\n{BLANK}", "tasters": "d", "setter": "e", "blank": "yes"},
    )

    assert answer.status_code == 422
    assert "leave the blank bowl out" in answer.text


def test_hot_water_is_tasted_and_told_apart(host: TestClient, phones: TestClient, lab: Lab) -> None:
    location = plan(host, blank="yes")
    host.post(f"{location}/taps/set")
    host.post(f"{location}/taps/pour")
    seat = sit(host, phones, location)
    places = phones.get("/sheet", headers=seat).json()["places"]
    marks = [
        entry(no, "mark", place=place["id"], line="distance", round="once", value=3)
        for no, place in enumerate(places, 1)
    ]
    said = [*marks, entry(10, "hand_in"), entry(11, "call", value="one")]
    phones.post("/entries", headers=seat, json={"entries": said})
    host.post(f"{location}/taps/uncover")

    assert "Hot water: 3.00 from the open bowl" in host.get(location).text


def test_it_touches_no_existing_file() -> None:
    # What it brings stands in its own folder: the program knows neither it nor its capability.
    source = Path(crustbreak.__file__).parent
    told = ("blank bowl", "blankbowl", "twinasked", "hot water among")

    touched = [
        path.relative_to(source).as_posix()
        for path in source.rglob("*")
        if path.suffix in (".py", ".html", ".js", ".toml")
        and any(word in path.read_text(encoding="utf-8").casefold() for word in told)
    ]

    assert issubclass(BlankBowl, Capability)
    assert isinstance(TWIN_PLUGIN, QuestionPlugin)
    assert touched == []
