import re

import pytest
from at_the_table import planned
from fastapi.testclient import TestClient

from crustbreak.ports.lab import Lab
from crustbreak.web.host.plan.conditions import (
    BESIDE_FIELDS,
    conditions_view,
    read_conditions,
    usual_conditions,
)

DRAFT = {
    "coffees": "One\nTwo\nThree",
    "tasters": "Odile",
    "cut_off": "84",
    "setter": "Piet",
    **usual_conditions(),
}


def look(host: TestClient, **typed: str) -> str:
    answer = host.post("/plan/choose/look", data={**DRAFT, **typed})
    assert answer.status_code == 200
    return answer.text


def test_what_is_usual_is_in_nobodys_way(host: TestClient) -> None:
    page = look(host)

    for word in (" g short", "Cups are ground", "roast has rested", "mg of caffeine"):
        assert word not in page
    assert '<details class="wide beside">' in page


def test_a_sample_that_suffices_is_said_with_what_is_left(host: TestClient) -> None:
    # 5 bowls take 70 g green: common practice, no source. 250 - 70 - 2 x 100 = -20.
    assert "A sample of 250 g gives 1 x 70 g to roast; 180 g left." in look(host, sample_g="250")
    page = look(host, sample_g="250", retained="yes")

    assert "20 g short" in page
    assert re.search("Ask for 20 g more", page)


def test_an_offer_sample_is_not_enough_for_all_that_is_asked_of_it(host: TestClient) -> None:
    # 350 + 70 + 2 x 100 = 620 of 250 g: common practice, no source.
    page = look(host, sample_g="250", retained="yes", graded="yes")

    assert "370 g short" in page


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"ground_min": "40"}, "Cups are ground 40 min before the pour; lidded they keep for 30"),
        ({"ground_min": "20", "lidded": ""}, "open they keep for 15"),
        ({"youngest_h": "5"}, "The last roast has rested 5 h at the pour, and 8 h is the least"),
        ({"oldest_h": "30"}, "The first roast is 30 h old at the pour, and 24 h is the most"),
        # 45 spoons of 5 ml at 0.66 mg/ml are 149 mg: common practice, no source. With the 300 mg
        # before it that is over 400 mg a day: EFSA 2015, [S4].
        ({"swallowed": "45", "earlier_mg": "300"}, "after 300 mg earlier that day"),
    ],
)
def test_what_suffers_is_said_with_its_figure(
    host: TestClient, typed: dict[str, str], said: str
) -> None:
    assert said in look(host, **typed)


def test_a_table_says_it_until_the_pour_as_its_plan_did(host: TestClient, lab: Lab) -> None:
    conditions = read_conditions({**usual_conditions(), "sample_g": "250", "retained": "yes"})

    table = planned(lab, conditions=conditions)

    assert table.conditions.sample_g == 250
    assert lab.repository.read(lambda records: records.table(table.id)) == table
    assert "20 g short" in host.get(f"/tables/{table.id}").text


@pytest.mark.parametrize("where", ["/plan/choose/look", "/plan/choose"])
def test_a_figure_that_is_none_is_said_to_be_and_stays(host: TestClient, where: str) -> None:
    answer = host.post(where, data={**DRAFT, "sample_g": "a bag"})

    assert answer.status_code == 422
    assert 'value="a bag"' in answer.text
    assert "or leave it empty" in answer.text


def test_what_is_left_empty_is_not_looked_at() -> None:
    assert read_conditions(dict.fromkeys(BESIDE_FIELDS[:6], " ")).figures == {}
    assert read_conditions({"lidded": "yes", "earlier_mg": "x"}).ticks == {"lidded"}


def test_the_page_is_open_where_more_than_the_usual_was_said() -> None:
    assert not conditions_view(usual_conditions())["open"]
    assert conditions_view({**usual_conditions(), "swallowed": "9"})["open"]
