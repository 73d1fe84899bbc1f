"""The filling card and the form for the sink, as a person alone goes through them."""

import pytest
from at_the_door import SETTINGS, new_links
from at_the_table import COFFEES, finish, planned, read_numbers, seated, under_way
from fastapi import FastAPI
from fastapi.testclient import TestClient

from crustbreak.core.errors import NotNow
from crustbreak.domain.records.numbered_bowls import BowlReading
from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.services.tables.actions import uncover
from crustbreak.services.tables.bowl_numbers import last_reading
from crustbreak.web.host.app import host_app
from crustbreak.web.host.plan.numbered_bowls import (
    add_numbered_pages,
    bowl_numbers_view,
    filling_view,
    read_readings,
)


def called(lab: Lab) -> Table:
    table = under_way(lab, numbered=True, setter="Odile")
    finish(lab, seated(lab, table))
    return table


def typed(table: Table, *numbers: tuple[str, str]) -> dict[str, str]:
    form: dict[str, str] = {}
    for place, (number, check) in zip(table.places, numbers, strict=True):
        form |= {f"number:{place.id}": number, f"check:{place.id}": check}
    return form


def paths(app: FastAPI) -> set[str]:
    return {str(getattr(route, "path", "")) for route in app.routes}


def test_pages_for_bowls_are_among_the_hosts(lab: Lab) -> None:
    alone = FastAPI(openapi_url=None)
    add_numbered_pages(alone, lab)

    assert {"/tables/{table_id}/filling", "/tables/{table_id}/wash-up"} == paths(alone)
    assert paths(alone) < paths(host_app(lab, SETTINGS, new_links(lab)))


def test_the_plan_asks_how_it_stays_blind(host: TestClient) -> None:
    form = {
        "coffees": "\n".join(COFFEES),
        "tasters": "Odile",
        "setter": "Odile",
        "cut_off": "84",
        "numbered": "yes",
    }

    answer = host.post("/plan/choose", data=form)

    page = host.get(answer.headers["location"]).text
    assert "Fill the numbered bowls, then shuffle them dry." in page
    assert "Nobody knows what stands where." in page
    assert "Open the card" not in page
    # The next plan is offered as this one was.
    assert 'name="numbered" value="yes" checked' in host.get("/plan/choose").text


def test_the_filling_card_says_coffees_numbers_and_places(host: TestClient, lab: Lab) -> None:
    table = planned(lab, numbered=True, order_classes=(1, 1, 2))

    page = host.get(f"/tables/{table.id}/filling").text

    assert all(name in page for name in COFFEES)
    assert "class 1 at A to B; class 2 at C." in page
    groups = filling_view(lab, table)
    assert [each["places"] for each in groups] == ["A to B", "C"]
    assert [bowl_group["bowls"][0] for each in groups for bowl_group in each["numbered_bowls"]] == [
        1,
        6,
        11,
    ]


def test_prints_the_filling_card(host: TestClient, lab: Lab) -> None:
    table = planned(lab, numbered=True)

    answer = host.get(f"/tables/{table.id}/filling.pdf?paper=letter")

    assert answer.headers["content-type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")


@pytest.mark.parametrize("page", ["filling", "filling.pdf", "wash-up"])
def test_a_table_with_a_key_has_no_such_page(host: TestClient, lab: Lab, page: str) -> None:
    table = planned(lab)

    answer = host.get(f"/tables/{table.id}/{page}")

    assert answer.status_code == 409
    assert "have no numbers" in answer.text


def test_numbers_lead_to_names(host: TestClient, lab: Lab) -> None:
    table = called(lab)
    assert "Wash up, and read the numbers" in host.get(f"/tables/{table.id}").text

    answer = host.post(
        f"/tables/{table.id}/wash-up", data=typed(table, ("12", "11"), ("3", "4"), ("7", "6"))
    )

    assert answer.status_code == 303
    assert "Read them again" in host.get(f"/tables/{table.id}").text
    host.post(f"/tables/{table.id}/taps/uncover")
    assert "The codes have names. Decide." in host.get(f"/tables/{table.id}").text


def test_a_fault_keeps_what_was_typed(host: TestClient, lab: Lab) -> None:
    table = called(lab)

    answer = host.post(
        f"/tables/{table.id}/wash-up", data=typed(table, ("12", "11"), ("3", "7"), ("1O", ""))
    )

    assert answer.status_code == 422
    assert "Place C:</b> a number as it stands under the bowl; found 1O" in answer.text
    assert 'value="12"' in answer.text
    assert last_reading(lab, table) is None


def test_a_row_of_two_coffees_is_refused_and_can_be_said_to_be_so(
    host: TestClient, lab: Lab
) -> None:
    table = called(lab)
    mixed = typed(table, ("12", "11"), ("3", "7"), ("", ""))

    refused = host.post(f"/tables/{table.id}/wash-up", data=mixed)
    mixed[f"mixed:{table.places[1].id}"] = "yes"
    kept = host.post(f"/tables/{table.id}/wash-up", data=mixed)
    host.post(f"/tables/{table.id}/taps/uncover")

    assert "3 and 7, which were filled with two" in refused.text
    assert kept.status_code == 303
    page = host.get(f"/tables/{table.id}").text
    assert "B: the row held bowls of several coffees" in page
    assert "C: the number could not be read" in page


def test_after_the_names_the_form_asks_why(host: TestClient, lab: Lab) -> None:
    table = called(lab)
    read_numbers(lab, table, (0, 1, 2))
    uncover(lab, table)
    form = typed(table, ("6", "7"), ("1", "2"), ("11", "12"))

    assert "Why they are read once more" in host.get(f"/tables/{table.id}/wash-up").text
    assert host.post(f"/tables/{table.id}/wash-up", data=form).status_code == 422
    form["reason"] = "Two rows were swapped on the drying rack."
    assert host.post(f"/tables/{table.id}/wash-up", data=form).status_code == 303
    assert "read once more on" in host.get(f"/tables/{table.id}").text


def test_the_form_shows_what_was_read_last(lab: Lab) -> None:
    table = called(lab)
    read_numbers(lab, table, (2, 0, 1))

    view = bowl_numbers_view(lab, table.id)

    assert view["was_read"]
    assert view["typed"][f"number:{table.places[0].id}"] == "11"


def test_the_form_waits_for_the_calls(lab: Lab) -> None:
    with pytest.raises(NotNow, match="under way"):
        bowl_numbers_view(lab, under_way(lab, numbered=True).id)


def test_reads_the_form_place_by_place(lab: Lab) -> None:
    table = planned(lab, numbered=True)

    readings, problems = read_readings(table, typed(table, (" 7 ", ""), ("", "x"), ("", "12")))

    ids = [place.id for place in table.places]
    assert readings == (
        BowlReading(place_id=ids[0], number=7),
        BowlReading(place_id=ids[1]),
        BowlReading(place_id=ids[2], check=12),
    )
    assert [problem.where for problem in problems] == ["Place B"]
