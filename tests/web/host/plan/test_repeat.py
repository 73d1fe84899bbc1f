import pytest
from at_the_table import COFFEES, planned, uncovered
from fastapi.testclient import TestClient

from crustbreak.core.errors import NotThere
from crustbreak.domain.planning.plan_request import PlanDraft, Terms
from crustbreak.ports.lab import Lab
from crustbreak.services.planning.plan import plan_table
from crustbreak.services.tables.cut_off import move_cut_off
from crustbreak.web.host.plan.conditions import read_conditions, usual_conditions
from crustbreak.web.host.plan.forms import read_plan
from crustbreak.web.host.plan.repeat import protocol_like, typed_like

DRAFT = PlanDraft(
    occasion="Morning offers",
    coffees=COFFEES,
    terms=(Terms(price=7.25, kilos=600.0), Terms(), Terms(kilos=1200.5)),
    order_classes=(1, 1, 2),
    tasters=("Odile", "Anouk"),
    cut_off=84.25,
    setter="Odile",
    duplicate=True,
    controls=("Old Post",),
    protocol="wide/1",
    numbered=True,
    bowls=3,
    people=2,
    share=4,
    conditions=read_conditions(usual_conditions()),
)


def test_a_plan_like_another_reads_as_that_one_did(lab: Lab) -> None:
    table = plan_table(lab, "choose", DRAFT)

    assert read_plan(typed_like(lab, table.id)) == DRAFT


def test_each_form_is_a_table_of_its_own(lab: Lab) -> None:
    table = planned(lab)

    first, second = typed_like(lab, table.id), typed_like(lab, table.id)

    assert first.pop("once") != second.pop("once")
    assert first == second


def test_the_cut_off_is_the_one_that_held_in_the_end(lab: Lab) -> None:
    table = planned(lab)
    move_cut_off(lab, table, 82.5, "The offer was cut.")

    assert typed_like(lab, table.id)["cut_off"] == "82.50"


def test_a_recipe_is_known_again_by_its_protocol(lab: Lab) -> None:
    assert protocol_like(lab, plan_table(lab, "choose", DRAFT)) == "wide/1"
    assert protocol_like(lab, planned(lab)) == "standard/1"


def test_same_as_last_time_is_one_tap(host: TestClient, lab: Lab) -> None:
    assert "Same as last time" not in host.get("/").text
    table = uncovered(lab)

    today = host.get("/").text
    assert f'href="/plan/choose?like={table.id}"' in today
    page = host.get(f"/plan/choose?like={table.id}").text
    assert "\n".join(COFFEES) in page


def test_a_table_that_is_not_there_is_said(host: TestClient, lab: Lab) -> None:
    with pytest.raises(NotThere):
        typed_like(lab, "nowhere")
    assert host.get("/plan/choose?like=nowhere").status_code == 404
