from typing import Any

import pytest
from at_the_table import planned, under_way
from fastapi import FastAPI
from fastapi.testclient import TestClient

from crustbreak.domain.brewing.cooling import Due
from crustbreak.ports.lab import Lab
from crustbreak.services.lab.settings import lab_settings_of
from crustbreak.services.lab.thermometer import FirstRound, known_bowls
from crustbreak.web.host.settings.thermometer import (
    add_bowl_page,
    bowl_data,
    bowl_view,
    change_text,
    now_text,
    read_bowl,
    read_span,
)

TYPED = {
    "kind": "standard glass",
    "protocol": "standard/1",
    "room_c": "22",
    "name": "Grey <bowls>",
    "at_1": "10:00",
    "c_1": "68,0",
    "at_2": "",
    "c_2": "",
}
WIDE = FirstRound(from_s=1080, cool=Due(early_s=738.0, at_s=894.0, late_s=1080.0))
NARROW = FirstRound(from_s=900, cool=Due(early_s=720.0, at_s=800.0, late_s=900.0))


def test_a_reading_is_kept_and_the_page_says_what_it_changed(host: TestClient, lab: Lab) -> None:
    answer = host.post("/house/bowl", data=TYPED)
    page = host.get(answer.headers["location"]).text

    assert answer.status_code == 303
    assert "Kept." in page
    assert "earlier ones keep their time. Standard glass: First round from " in page
    assert "Grey &lt;bowls&gt;: standard glass, measured" in page
    assert "The last change moved the first round: " in page
    assert "68 °C at 10:00, room 22 °C" in page
    assert lab_settings_of(lab).measured


def test_the_bowl_is_put_back_from_the_page(host: TestClient, lab: Lab) -> None:
    host.post("/house/bowl", data=TYPED)

    answer = host.post("/house/bowl/back", data={"kind": "standard glass"})
    page = host.get(answer.headers["location"]).text

    assert "Put back." in page
    assert "put back to the unmeasured one" in page
    assert lab_settings_of(lab).measured == ()
    assert host.post("/house/bowl/back", data={"kind": "bucket"}).status_code == 404


def test_a_reading_that_no_bowl_could_give_keeps_nothing_and_loses_nothing(
    host: TestClient, lab: Lab
) -> None:
    answer = host.post("/house/bowl", data={**TYPED, "c_1": "40"})

    assert answer.status_code == 422
    assert 'value="40"' in answer.text
    assert "found 40.0 C" in answer.text
    assert "Stir and measure again" in answer.text
    assert lab_settings_of(lab).measured == ()


def test_the_house_and_a_running_table_lead_to_it(host: TestClient, lab: Lab) -> None:
    table = under_way(lab)

    assert 'href="/house/bowl"' in host.get("/house").text
    assert f'href="/house/bowl?table={table.id}"' in host.get(f"/tables/{table.id}").text


def test_from_a_table_its_protocol_is_the_one_offered(host: TestClient, lab: Lab) -> None:
    table = planned(lab, protocol="wide/1")

    page = host.get(f"/house/bowl?table={table.id}").text

    assert '<option value="wide/1" selected>' in page
    assert f'href="/tables/{table.id}"' in page
    assert host.get("/house/bowl?table=none").status_code == 404


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("10", 600), ("10,5", 630), ("10:30", 630), ("", None), ("soon", None), ("10:x", None)],
)
def test_reads_minutes_as_a_clock_or_a_number(text: str, seconds: float | None) -> None:
    assert read_span(text) == seconds


def test_a_second_reading_may_be_left_out_and_half_of_one_is_seen() -> None:
    assert read_bowl(TYPED).readings == ((600.0, 68.0),)
    assert read_bowl({**TYPED, "c_2": "60"}).readings == ((600.0, 68.0), (None, 60.0))


def test_says_when_and_how_sure() -> None:
    said = now_text(NARROW)

    assert "First round from 15:00 after its pour" in said
    assert "most likely at 13:20; nine bowls in ten are between 12:00 and 15:00" in said


def test_says_how_far_the_time_moved_either_way() -> None:
    assert "3:00 sooner than before" in change_text(WIDE, NARROW)
    assert "a span of 5:42 min; now it is 3:00 min" in change_text(WIDE, NARROW)
    assert "3:00 later than before" in change_text(NARROW, WIDE)
    assert "not at all" in change_text(WIDE, WIDE)


def test_a_kind_that_nobody_measured_says_so(lab: Lab) -> None:
    said: dict[str, Any] = bowl_data(known_bowls(lab)[0], tasted=True)

    assert (said["measured"], said["change"], said["readings"]) == (False, "", [])
    assert bowl_view(lab)["bowls"][0] == said


def test_the_page_is_added_to_an_app(lab: Lab) -> None:
    bare = FastAPI()
    add_bowl_page(bare, lab)

    assert "/house/bowl" in {route.path for route in bare.routes}  # type: ignore[attr-defined]
