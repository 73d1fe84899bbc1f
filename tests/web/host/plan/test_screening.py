"""From a long list to flights, and from their standing to a second look."""

import re

from at_the_table import StandingClock
from fastapi import FastAPI
from fastapi.testclient import TestClient
from whole_tables import taste_whole

from crustbreak.ports.lab import Lab
from crustbreak.services.planning.screening import view_screening
from crustbreak.services.results.decide import verdict_of
from crustbreak.web.host.plan.screening import (
    add_screening_pages,
    screening_view,
    second_stage_form,
)

NAMES = tuple(f"Offer {nth}" for nth in range(1, 19))
PLAN = {
    "coffees": "\n".join(f"{name}; 7,25; 600" for name in NAMES),
    "tasters": "Odile",
    "setter": "Piet",
    "cut_off": "84",
    "occasion": "Flood",
    "control": "Old Post",
    "once": "one form",
}
TRUTH = {name: 80.0 + nth / 2 for nth, name in enumerate(NAMES)} | {"Old Post": 83.0}


def test_its_pages_are_where_the_forms_lead() -> None:
    app = FastAPI()
    add_screening_pages(app, None)  # type: ignore[arg-type]

    assert {"/plan/{question_id}/first-look", "/first-looks/{look_id}"} <= {
        getattr(route, "path", "") for route in app.routes
    }


def planned_look(host: TestClient) -> str:
    answer = host.post("/plan/choose/first-look", data=PLAN)
    assert answer.status_code == 303
    return answer.headers["location"].removeprefix("/first-looks/")


def test_a_long_list_is_offered_two_stages_and_keeps_what_was_typed(host: TestClient) -> None:
    for path in ("/plan/choose", "/plan/choose/look"):
        page = host.post(path, data=PLAN).text

        assert "18 coffees are more than one table takes." in page
        assert "in 2 flights of 9, drawn at random over all" in page
        assert "Draw 2 flights" in page
        assert "Draw the codes" not in page
        assert "Offer 18; 7,25; 600" in page


def test_a_long_list_by_class_without_a_control_is_warned_of(host: TestClient) -> None:
    typed = {
        **PLAN,
        "control": "",
        "coffees": PLAN["coffees"].replace("Offer 10;", "---\nOffer 10;"),
    }

    page = host.post("/plan/choose", data=typed).text

    assert "Without a control they will not be ranked together" in page


def test_faults_of_a_long_list_are_named_and_nothing_is_drawn(host: TestClient, lab: Lab) -> None:
    answer = host.post("/plan/choose/first-look", data={**PLAN, "tasters": "", "cut_off": "high"})

    assert answer.status_code == 422
    assert "Give the figure that decides." in answer.text
    assert lab.repository.read(lambda records: records.tables()) == ()


def test_the_page_says_what_is_still_to_taste_and_names_nothing_sealed(
    host: TestClient, lab: Lab, clock: StandingClock
) -> None:
    look_id = planned_look(host)
    before = host.get(f"/first-looks/{look_id}").text
    taste_whole(lab, view_screening(lab, look_id, best=3).flights[0][0], TRUTH)
    sealed = lab.repository.read(
        lambda records: records.coffees(view_screening(lab, look_id, best=3).flights[1][0].id)
    )

    page = host.get(f"/first-looks/{look_id}?best=2").text

    assert "taste the first flight" in before
    assert "how the coffees stand so far" in page
    assert "among the best 2" in page
    assert not any(re.search(rf"{each.name}\b", page) for each in sealed if not each.is_control)
    assert 'href="/first-looks/' in host.get("/").text
    assert host.get(f"/first-looks/{look_id}?best=none").status_code == 422
    assert host.get("/first-looks/nowhere").status_code == 404


def test_the_best_are_taken_over_to_a_second_look(
    host: TestClient, lab: Lab, clock: StandingClock
) -> None:
    look_id = planned_look(host)
    for table, _ in view_screening(lab, look_id, best=3).flights:
        taste_whole(lab, table, TRUTH, look_sd=0.3)
        clock.pass_seconds(3600)
    page = host.get(f"/first-looks/{look_id}").text
    ticked = re.findall(r'name="coffee" value="(\w+)" checked', page)

    form = host.get(f"/first-looks/{look_id}/second", params={"coffee": ticked}).text

    assert 3 <= len(ticked) <= 6
    assert "Offer 18; 7.25; 600" in form
    assert "Offer 1;" not in form
    assert '<option value="5" selected>' in form
    assert 'value="Flood, second look"' in form
    assert "Tasted again by the same people" in page


def test_a_decided_flight_leads_to_how_all_stand(host: TestClient, lab: Lab) -> None:
    look_id = planned_look(host)
    table = view_screening(lab, look_id, best=3).flights[0][0]
    taste_whole(lab, table, TRUTH)

    assert f'href="/first-looks/{look_id}"' in host.get(f"/tables/{table.id}").text


def test_what_is_shown_is_ranked_and_what_is_typed_again_is_as_it_was(
    host: TestClient, lab: Lab
) -> None:
    screening = view_screening(lab, planned_look(host), best=3)

    view, typed = screening_view(lab, screening, best=3), second_stage_form(lab, screening, [])

    assert (view["uncovered"], view["rankings"]) == (0, [])
    assert (typed["coffees"], typed["control"], typed["cut_off"]) == ("", "Old Post", "84.00")


def test_all_flights_are_decided_by_what_is_ticked(
    host: TestClient, lab: Lab, clock: StandingClock
) -> None:
    look_id = planned_look(host)
    for table, _ in view_screening(lab, look_id, best=3).flights:
        taste_whole(lab, table, TRUTH)
        clock.pass_seconds(3600)
    page = host.get(f"/first-looks/{look_id}").text
    ticked = re.findall(r'name="coffee" value="(\w+)" checked', page)
    said = {"coffee": ticked[:2], "reason": "The best two.", "decided_by": "Piet"}

    unsigned = host.post(f"/first-looks/{look_id}/verdict", data={**said, "decided_by": ""})
    kept = host.post(f"/first-looks/{look_id}/verdict", data=said)

    assert unsigned.status_code == 422
    assert re.findall(r'name="coffee" value="(\w+)" checked', unsigned.text) == ticked[:2]
    assert "The best two." in unsigned.text
    assert kept.status_code == 303
    words = [
        word
        for table, _ in view_screening(lab, look_id, best=3).flights
        for word in verdict_of(lab, table).values()
    ]
    assert (words.count("look again"), words.count("decline")) == (2, 16)
    assert "Verdict of the first look" not in host.get(f"/first-looks/{look_id}").text
