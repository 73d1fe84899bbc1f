import re

import pytest
from at_the_door import SETTINGS, new_links
from at_the_table import COFFEES, planned, under_way
from fastapi import FastAPI
from fastapi.testclient import TestClient

from crustbreak.ports.lab import Lab
from crustbreak.web.host.app import host_app
from crustbreak.web.host.table.prints import add_prints
from prints import pages, size_mm

LETTER = (215.9, 279.4)


def ratings(lab: Lab, table_id: str) -> int:
    events = lab.repository.read(lambda records: records.events(table_id))
    return sum(event.kind == "key opened" for event in events)


def test_prints_the_card_when_asked_and_writes_it_down(host: TestClient, lab: Lab) -> None:
    table = planned(lab)

    answer = host.post(f"/tables/{table.id}/card.pdf")

    assert answer.headers["content-type"] == "application/pdf"
    assert all(coffee in pages(answer.content)[0] for coffee in COFFEES)
    assert ratings(lab, table.id) == 1
    assert answer.headers["cache-control"] == "no-store"


def test_prints_no_card_for_a_mere_address(host: TestClient, lab: Lab) -> None:
    table = planned(lab)

    assert host.get(f"/tables/{table.id}/card.pdf").status_code == 405
    assert ratings(lab, table.id) == 0


def test_refuses_the_card_after_the_pour(host: TestClient, lab: Lab) -> None:
    table = under_way(lab)

    answer = host.post(f"/tables/{table.id}/card.pdf")

    assert answer.status_code == 403
    assert "The codes are sealed" in answer.text
    assert not any(coffee in answer.text for coffee in COFFEES)


def test_a_foreign_page_prints_no_card(host: TestClient, lab: Lab) -> None:
    table = planned(lab)

    answer = host.post(f"/tables/{table.id}/card.pdf", headers={"origin": "http://elsewhere.test"})

    assert answer.status_code == 403
    assert ratings(lab, table.id) == 0


@pytest.mark.parametrize(
    ("path", "name"),
    [
        ("places.pdf", "place-cards"),
        ("places.pdf?bowls=true", "bowl-cards"),
        ("sheets.pdf", "paper-sheets"),
    ],
)
def test_prints_what_lies_on_the_table(host: TestClient, lab: Lab, path: str, name: str) -> None:
    table = under_way(lab)

    answer = host.get(f"/tables/{table.id}/{path}")

    said = " ".join(pages(answer.content))
    assert all(place.code in said for place in table.places)
    assert not any(coffee in said for coffee in COFFEES)
    assert re.fullmatch(
        rf'inline; filename="{name}-2031-03-04-[0-9a-f]{{4}}\.pdf"',
        answer.headers["content-disposition"],
    )
    assert ratings(lab, table.id) == 0


def test_prints_the_sheet_of_one_seat(host: TestClient, lab: Lab) -> None:
    table = planned(lab, tasters=("Odile", "Anouk"))

    answer = host.get(f"/tables/{table.id}/seats/{table.seats[1].id}/sheet.pdf")

    said = " ".join(pages(answer.content))
    assert "Anouk" in said
    assert "Odile" not in said
    assert host.get(f"/tables/{table.id}/seats/nobody/sheet.pdf").status_code == 404


def test_prints_on_the_paper_that_is_asked_for(host: TestClient, lab: Lab) -> None:
    table = planned(lab)
    here = f"/tables/{table.id}"

    made = [host.post(f"{here}/card.pdf?paper=letter")]
    made += [host.get(f"{here}/{name}?paper=letter") for name in ("places.pdf", "sheets.pdf")]
    made += [host.get(f"{here}/seats/{table.seats[0].id}/sheet.pdf?paper=letter")]

    assert all(size_mm(each.content) == pytest.approx(LETTER, abs=0.2) for each in made)
    assert host.get(f"{here}/places.pdf?paper=napkin").status_code == 422


def test_every_print_is_offered_where_it_is_needed(host: TestClient, lab: Lab) -> None:
    table = planned(lab)
    here = f"/tables/{table.id}"

    page = host.get(here).text
    card = host.post(f"{here}/card").text

    for link in re.findall(r'href="(/tables/[^"]+\.pdf[^"]*)"', page):
        assert host.get(link.replace("&amp;", "&")).headers["content-type"] == "application/pdf"
    assert page.count(".pdf") == 7
    assert page.count("paper=letter") == 3
    assert "card.pdf" not in page
    assert f'action="{here}/card.pdf"' in card
    assert f'action="{here}/card.pdf?paper=letter"' in card


def test_offers_no_paper_for_a_table_that_was_given_up(host: TestClient, lab: Lab) -> None:
    table = planned(lab)
    host.post(f"/tables/{table.id}/abandon", data={"reason": "spilt"})

    assert "On paper" not in host.get(f"/tables/{table.id}").text


def test_prints_are_the_hosts_alone(lab: Lab) -> None:
    app = FastAPI()

    add_prints(app, lab)

    added = {getattr(route, "path", "") for route in app.routes}
    of_host = {
        getattr(route, "path", "") for route in host_app(lab, SETTINGS, new_links(lab)).routes
    }
    assert {path for path in added if path.endswith(".pdf")} < of_host
