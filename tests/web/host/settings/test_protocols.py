from fastapi import FastAPI
from fastapi.testclient import TestClient

from crustbreak.ports.lab import Lab
from crustbreak.services.lab.protocols import every_protocol
from crustbreak.web.host.settings.protocols import (
    add_protocols_page,
    protocol_text,
    protocols_view,
    read_protocol_form,
)

TYPED = {
    "of": "",
    "title": "Ours <i>",
    "dose_g": "9,3",
    "water_ml": "150",
    "steep_s": "240",
    "pour_c": "94",
    "stirs": "3",
    "bowl": "heavy ceramic",
}


def test_a_protocol_is_kept_and_offered_by_the_plan(host: TestClient) -> None:
    answer = host.post("/house/protocols", data=TYPED)
    page = host.get(answer.headers["location"]).text

    assert answer.status_code == 303
    assert "Kept: Ours &lt;i&gt;, version 1." in page
    assert '<option value="own-1/1"' in host.get("/plan/choose").text
    assert '<option value="own-1/1"' in host.get("/house").text


def test_a_change_is_typed_over_the_latest_version(host: TestClient, lab: Lab) -> None:
    host.post("/house/protocols", data=TYPED)

    form = host.get("/house/protocols?of=own-1").text
    host.post("/house/protocols", data={**TYPED, "of": "own-1", "dose_g": "10"})
    page = host.get("/house/protocols").text

    assert 'value="9.3"' in form
    assert "A new version of Ours" in form
    assert "<option selected>heavy ceramic</option>" in form
    assert "3 stirs, in heavy ceramic; version 1" in form
    assert "Earlier versions of Ours" in page
    assert {"own-1/1", "own-1/2"} <= set(every_protocol(lab))


def test_a_fault_keeps_nothing_and_loses_nothing(host: TestClient, lab: Lab) -> None:
    answer = host.post("/house/protocols", data={**TYPED, "water_ml": "much"})

    assert answer.status_code == 422
    assert 'value="much"' in answer.text
    assert "Water, ml" in answer.text
    assert "own-1/1" not in every_protocol(lab)


def test_what_is_shipped_has_no_way_to_change_it(lab: Lab) -> None:
    view = protocols_view(lab, of="standard")

    assert view["changed"] is None
    assert not any(each["own"] for each in view["protocols"])


def test_says_a_protocol_in_a_line(lab: Lab) -> None:
    said = protocol_text(every_protocol(lab)["standard/1"])

    assert said == (
        "8.25 g to 150 ml at 93 °C, 240 s to the break, 3 stirs; version 1, S1, 2004 protocol"
    )


def test_reads_a_form_with_nothing_in_it() -> None:
    draft = read_protocol_form({})

    assert (draft.of, draft.title) == ("", "")
    assert set(draft.figures.values()) == {None}


def test_the_house_leads_to_it_and_it_is_added_to_an_app(host: TestClient, lab: Lab) -> None:
    bare = FastAPI()
    add_protocols_page(bare, lab)

    assert "/house/protocols" in {route.path for route in bare.routes}  # type: ignore[attr-defined]
    assert 'href="/house/protocols"' in host.get("/house").text
