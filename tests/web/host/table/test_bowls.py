import re
from pathlib import Path

import pytest
from at_a_match import match_lab, planned_match
from at_the_door import host_client
from at_the_table import StandingClock, finish, planned, seated, under_way
from fastapi import FastAPI
from fastapi.responses import Response
from fastapi.routing import APIRoute

from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.clocks import CupClock
from crustbreak.ports.lab import Lab
from crustbreak.services.tables.actions import abandon, look_at
from crustbreak.services.tables.views import HostView, view_table
from crustbreak.web.host.table.bowls import add_bowls, bowl_view, clock_text, fact_text


def third(table: Table) -> str:
    return f"/tables/{table.id}/bowls/{table.places[0].id}/3"


def panel(view: HostView) -> dict[str, object]:
    found = bowl_view(view, f"{view.table.places[0].id}.3")
    assert found is not None
    return found


def test_a_bowl_is_noted_by_a_key_and_taken_back_by_the_one_beside_it(
    lab: Lab, clock: StandingClock
) -> None:
    table = under_way(lab)
    clock.pass_seconds(281)
    with host_client(lab) as host:
        page = host.post(f"{third(table)}/bowl-broken", follow_redirects=True)
        # The bowl's course is the lab's: how far it was off follows from the table itself.
        off = 281 - (table.times(2).pour_s - table.times(0).pour_s) - table.recipe.steep_s
        assert f"Bowl 3 of {table.places[0].code} steeped {off} s longer." in page.text
        assert "Broken at 4:41." in page.text
        assert "<em>differs</em>" in page.text
        name = re.findall(r'name="name" value="([\d.]+)"', page.text)[0]

        page = host.post(third(table), data={"name": name}, follow_redirects=True)

    assert "Broken at" not in page.text
    assert look_at(lab, table.id)[1].bowls.noted == {}


def test_a_figure_that_is_none_is_kept_as_typed_and_told(lab: Lab) -> None:
    table = planned(lab)
    with host_client(lab) as host:
        wrong = host.post(f"{third(table)}/dose-weighed", data={"figure": "8,6,1"})
        right = host.post(
            f"{third(table)}/dose-weighed", data={"figure": "8,61"}, follow_redirects=True
        )

    assert wrong.status_code == 422
    assert 'value="8,6,1"' in wrong.text
    assert "a number from 0.1 to 100" in wrong.text
    assert "Dose 8.61 g." in right.text


@pytest.mark.parametrize("path", ["elsewhere/1/bowl-spilt", "{place}/9/bowl-spilt", "{place}/1/x"])
def test_what_is_no_bowl_or_no_fact_is_not_there(lab: Lab, path: str) -> None:
    table = planned(lab)
    with host_client(lab) as host:
        address = f"/tables/{table.id}/bowls/{path.format(place=table.places[0].id)}"

        assert host.post(address).status_code == 404


def test_a_bowl_offers_what_fits_and_names_what_cannot_have_been(
    lab: Lab, clock: StandingClock
) -> None:
    table = planned(lab)
    before = panel(view_table(lab, table.id))
    assert [key["kind"] for key in before["keys"]] == ["bowl spilt", "dose weighed"]  # type: ignore[index,attr-defined]

    table = under_way(lab)
    with host_client(lab) as host:
        # Broken in the moment of the first pour, before the third bowl was poured at all.
        page = host.post(f"{third(table)}/bowl-broken", follow_redirects=True)

    assert "this cannot be in that order; it is kept and changes nothing" in page.text


def test_a_bowl_of_a_table_that_is_over_or_another_is_not_shown(lab: Lab) -> None:
    table, over = under_way(lab), planned(lab)
    abandon(lab, over, "")

    assert bowl_view(view_table(lab, table.id), "") is None
    assert bowl_view(view_table(lab, table.id), "p1.x") is None
    assert bowl_view(view_table(lab, over.id), f"{over.places[0].id}.3") is None
    finish(lab, seated(lab, table))
    assert panel(view_table(lab, table.id))["title"] == f"Bowl 3 of {table.places[0].code}"


def test_an_open_bowl_is_called_so(tmp_path: Path) -> None:
    with match_lab(tmp_path / "match") as (lab, _):
        view = view_table(lab, planned_match(lab).id)
        (opened,) = [place for place in view.table.places if place.is_open]
        panel_of = bowl_view(view, f"{opened.id}.1")

    assert panel_of is not None
    assert panel_of["title"] == "The open bowl"


def test_says_a_fact_and_a_clock(lab: Lab) -> None:
    assert fact_text("bowl poured", None, 92.4) == "Poured at 1:32"
    assert fact_text("heat measured", 64.5, 700) == "Measured 64.5 °C at 11:40"
    assert fact_text("dose weighed", 8.6, -40) == "Dose 8.6 g"

    table = under_way(lab)
    view = view_table(lab, table.id)
    assert clock_text(CupClock(), view) == "Not poured yet."
    poured = view.state.poured_at
    said = clock_text(CupClock(poured_at=poured, break_due=poured), view)
    assert said == "On its own clock: poured 0:00, break due 0:00."


def test_its_two_addresses_are_added_to_an_app(lab: Lab) -> None:
    app = FastAPI()

    add_bowls(app, lab, lambda *_: Response())

    paths = {route.path for route in app.routes if isinstance(route, APIRoute)}
    assert paths == {
        "/tables/{table_id}/bowls/{place_id}/{cup}",
        "/tables/{table_id}/bowls/{place_id}/{cup}/{fact}",
    }
