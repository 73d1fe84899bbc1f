from typing import Any

from at_the_door import SETTINGS as DOOR
from at_the_door import new_links
from fastapi import FastAPI
from fastapi.testclient import TestClient

from crustbreak.domain.planning.lab_settings import SETTINGS
from crustbreak.domain.records.lab_settings import LabSettings
from crustbreak.ports.lab import Lab
from crustbreak.services.lab.settings import lab_settings_of
from crustbreak.web.host.app import host_app
from crustbreak.web.host.settings.lab import (
    add_lab_settings_page,
    lab_settings_view,
    read_lab_settings,
)

TYPED = {
    "anchors": "Ines\n- Tomas\n",
    "currency": "EUR",
    "protocol": "wide/1",
    "bowl": "heavy ceramic",
    **{each.name: f"{getattr(LabSettings(), each.name):g}" for each in SETTINGS},
}


def test_keeps_what_is_typed_and_shows_it_again(host: TestClient, lab: Lab) -> None:
    answer = host.post("/house", data=TYPED)
    page = host.get(answer.headers["location"]).text

    assert answer.status_code == 303
    assert lab_settings_of(lab).anchors == ("Ines", "Tomas")
    assert "Kept." in page
    assert (lab_settings_of(lab).protocol, lab_settings_of(lab).bowl) == ("wide/1", "heavy ceramic")
    assert "Ines\nTomas" in page
    assert '<option value="wide/1" selected>' in page


def test_a_fault_keeps_nothing_and_loses_nothing(host: TestClient, lab: Lab) -> None:
    answer = host.post("/house", data={**TYPED, "point_worth": "much", "anchors": "Ines <b>"})

    assert answer.status_code == 422
    assert 'value="much"' in answer.text
    assert "Ines &lt;b&gt;" in answer.text
    assert lab_settings_of(lab) == LabSettings()


def test_today_leads_to_the_house(host: TestClient) -> None:
    assert 'href="/house"' in host.get("/").text


def test_a_form_that_says_nothing_is_read_as_nothing() -> None:
    draft = read_lab_settings({})

    assert (draft.anchors, draft.currency) == ((), "")
    assert set(draft.figures.values()) == {None}


def test_the_page_shows_what_holds(lab: Lab) -> None:
    view: dict[str, Any] = lab_settings_view(lab)

    assert view["typed"]["currency"] == LabSettings().currency
    assert view["typed"]["point_worth"] == "5"


def test_the_page_is_part_of_the_host_and_of_no_other_app(lab: Lab) -> None:
    bare = FastAPI()
    add_lab_settings_page(bare, lab)
    added = {route.path for route in bare.routes}  # type: ignore[attr-defined]
    every = {getattr(route, "path", "") for route in host_app(lab, DOOR, new_links(lab)).routes}

    assert "/house" in added & every
