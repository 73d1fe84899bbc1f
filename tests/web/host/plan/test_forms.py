import pytest
from at_the_table import planned
from fastapi import FastAPI, Request
from fastapi.testclient import TestClient

from crustbreak.core.errors import NotThere, Problem
from crustbreak.domain.planning.plan_request import Terms
from crustbreak.domain.records.asked import NOTHING_ASKED
from crustbreak.ports.lab import Lab
from crustbreak.services.planning.screening import Offer
from crustbreak.web.host.plan.forms import (
    blank_plan,
    blank_verdict,
    offer_data,
    plan_asked,
    read_form,
    read_plan,
)


def test_reads_a_form_with_nothing_in_it() -> None:
    draft = read_plan({})

    assert (draft.coffees, draft.tasters, draft.cut_off, draft.setter) == ((), (), None, "")


@pytest.mark.parametrize(
    ("typed", "people"), [("2", 2), ("", None), ("five", None), ("nan", None), ("1.5", None)]
)
def test_reads_how_many_pour_and_break(typed: str, people: int | None) -> None:
    assert read_plan({"people": typed}).people == people
    assert read_plan({}).people == 1


def test_a_figure_beside_the_plan_is_read_and_kept_as_typed(lab: Lab) -> None:
    assert read_plan({"sample_g": "250", "graded": "yes"}).conditions.figures == {"sample_g": 250.0}
    page = blank_plan(lab, "choose", typed={"sample_g": "much"})

    assert page["conditions"]["said"]["sample_g"] == "much"
    assert page["conditions"]["open"]
    assert not blank_plan(lab, "choose")["conditions"]["open"]


def test_reads_whether_the_order_is_to_be_balanced() -> None:
    assert read_plan({"balanced": "yes"}).balanced
    assert not read_plan({}).balanced


def test_reads_names_from_lines() -> None:
    draft = read_plan({"coffees": "- One\n\n* Two ", "tasters": "Odile", "setter": " Piet "})

    assert (draft.coffees, draft.tasters, draft.setter) == (("One", "Two"), ("Odile",), "Piet")


def test_offers_the_lower_bound_of_specialty_where_the_house_has_no_cut_off(lab: Lab) -> None:
    page = blank_plan(lab, "choose")

    # 80 points: the 2004 protocol's classes, [S1].
    assert page["typed"]["cut_off"] == "80.00"
    assert page["typed"]["tasters"] == ""


def test_offers_the_people_of_the_last_table(lab: Lab) -> None:
    planned(lab, tasters=("Odile", "Anouk"))

    assert blank_plan(lab, "choose")["typed"]["tasters"] == "Odile\nAnouk"
    assert blank_plan(lab, "choose")["typed"]["people"] == "1"


def test_keeps_a_plan_as_typed(lab: Lab) -> None:
    page = blank_plan(lab, "choose", typed={"cut_off": "high", "coffees": "One"})

    assert page["typed"]["cut_off"] == "high"
    assert page["typed"]["coffees"] == "One"


def test_keeps_a_verdict_as_typed() -> None:
    problem = Problem(where="One", rule="a verdict", found="none", remedy="Choose.")

    typed = {"reason": "So.", "next_step": "Pay."}
    form = blank_verdict(typed=typed, words={"One": "buy"}, problems=(problem,))

    assert form == {
        "words": {"One": "buy"},
        "reason": "So.",
        "decided_by": "",
        "next_step": "Pay.",
        "problems": (problem,),
    }
    assert blank_verdict()["words"] == {}


def test_reads_prices_beside_the_names() -> None:
    draft = read_plan({"coffees": "One; 7.25; 600\nTwo", "control": "Old\nNew"})

    assert draft.coffees == ("One", "Two")
    assert [(each.price, each.kilos) for each in draft.terms] == [(7.25, 600.0), (None, None)]
    assert draft.controls == ("Old", "New")


def test_a_form_is_read_without_its_files_and_half_signs() -> None:
    app = FastAPI()

    @app.post("/")
    async def say(request: Request) -> dict[str, str]:
        return await read_form(request)

    with TestClient(app) as client:
        said = client.post(
            "/", data={"name": "Tarn"}, files={"picture": ("a.png", b"no text")}
        ).json()
        half = client.post(
            "/",
            content=b"name=%2B2D0-",
            headers={"Content-Type": "application/x-www-form-urlencoded; charset=utf-7"},
        ).json()

    assert said == {"name": "Tarn"}
    assert half["name"].isprintable()


def test_reads_classes_and_whether_they_are_drawn_over() -> None:
    classed = read_plan({"coffees": "One\n---\nTwo; 7\nThree"})
    over = read_plan({"coffees": "One\n---\nTwo", "fully_random": "yes"})

    assert classed.coffees == ("One", "Two", "Three")
    assert (classed.order_classes, classed.fully_random) == ((1, 2, 2), False)
    assert (over.order_classes, over.fully_random) == ((1, 2), True)


@pytest.mark.parametrize(("text", "bowls"), [("", None), ("3", 3), ("many", 0), ("٣", 0)])
def test_reads_how_many_bowls(text: str, bowls: int | None) -> None:
    assert read_plan({"bowls": text}).bowls == bowls


def test_speaks_of_the_coffees_and_bowls_asked_for(lab: Lab) -> None:
    seven = "\n".join(f"Coffee {nth}" for nth in range(7))

    blank, typed = (blank_plan(lab, "choose", typed=each) for each in (None, {"coffees": seven}))

    assert (blank["coffees"], blank["bowls"]) == (5, 5)
    # 8 x 3 fit three rounds and 7 x 5 do not: common practice, no source.
    (bowls,) = (field for field in typed["fields"] if field.name == "bowls")
    assert typed["bowls"] == 3
    assert bowls.options[0][1] == "as many as there is time for: 3"


def test_says_how_a_long_list_would_be_tasted() -> None:
    offer = Offer(sizes=(9, 10), by_class=False, bridged=True)

    assert offer_data(None) is None
    assert offer_data(offer) == {
        "coffees": 19,
        "flights": 2,
        "each": "9 or 10",
        "by_class": False,
        "bridged": True,
    }


def test_coffees_asked_for_one_by_one_are_names_and_nothing_else() -> None:
    draft = read_plan({"coffee_1": " Oskelan;  lot 12 ", "coffee_2": "--- arrival", "coffees": ""})

    assert draft.coffees == ("Oskelan; lot 12", "--- arrival")
    assert set(draft.terms) == {Terms()}
    assert draft.order_classes == (1, 1)


def test_a_plan_is_read_as_its_question_asks(lab: Lab) -> None:
    assert plan_asked(lab, "choose", {"certainty": "95"}).asked == NOTHING_ASKED
    with pytest.raises(NotThere, match="no question"):
        plan_asked(lab, "nothing", {})
