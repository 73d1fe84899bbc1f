"""The host's pages of the approved coffee, from the plan to more bowls."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from at_a_match import ALIKE, APPROVED, ARRIVED, match_lab, planned_match, tasted_match
from at_the_door import host_client
from fastapi.testclient import TestClient

from crustbreak.ports.lab import Lab
from crustbreak.questions.match.definition import MatchAsked
from crustbreak.services.planning.follow_up import added_to
from crustbreak.web.host.plan.forms import read_plan
from crustbreak.web.host.plan.numbered_bowls import filling_view
from crustbreak.web.host.plan.repeat import typed_like

FORM = {
    "coffee_1": APPROVED,
    "coffee_2": ARRIVED,
    "tasters": "Odile",
    "setter": "Odile",
    "cut_off": "1,5",
    "certainty": "90",
    "numbered": "yes",
}


@pytest.fixture
def lab(tmp_path: Path) -> Iterator[Lab]:
    with match_lab(tmp_path) as (opened, _):
        yield opened


@pytest.fixture
def host(lab: Lab) -> Iterator[TestClient]:
    with host_client(lab) as client:
        yield client


def planned(host: TestClient, **changed: str) -> str:
    answer = host.post("/plan/match", data={**FORM, **changed})
    assert answer.status_code == 303, answer.text
    return answer.headers["location"]


def test_the_two_coffees_are_asked_for_one_by_one(host: TestClient, lab: Lab) -> None:
    table_id = planned(host).removeprefix("/tables/")

    coffees = lab.repository.read(lambda records: records.coffees(table_id))
    table = lab.repository.read(lambda records: records.table(table_id))
    assert [coffee.name for coffee in coffees] == [APPROVED, ARRIVED]
    assert [place.code for place in table.places] == [*"ABCDEF", "open"]
    assert (table.cut_off, table.asked["certainty"], table.is_numbered) == (1.5, 0.9, True)


def test_a_missing_name_is_said_where_it_is_and_nothing_typed_is_lost(host: TestClient) -> None:
    answer = host.post("/plan/match", data={**FORM, "coffee_2": "", "occasion": "Lot of March"})

    assert answer.status_code == 422
    assert "Give 2 names." in answer.text
    assert f'value="{APPROVED}"' in answer.text
    assert 'value="Lot of March"' in answer.text


def test_how_sure_it_is_to_be_says_how_many_bowls_it_takes(host: TestClient) -> None:
    page = host.get("/plan/match").text
    sharp = planned(host, certainty="99")

    assert re.findall(r"(\d+) in 100, (\d) bowls of each", page) == [
        ("90", "3"),
        ("95", "4"),
        ("99", "5"),
    ]
    # Five blind bowls of each, and the open one.
    assert host.get(sharp).text.count('class="coffee"') == 11


def test_the_points_of_d_have_their_words_beside_them(host: TestClient) -> None:
    page = host.get("/plan/match").text

    assert "0 the same, 1 barely, 2 slightly, 3 clearly, 4 much, 5 another coffee." in page


def test_what_is_not_asked_is_not_on_the_page(host: TestClient) -> None:
    page = host.get("/plan/match").text

    for name in ("share", "fully_random", "control", "double"):
        assert f'name="{name}"' not in page


def test_bowls_of_one_coffee_are_filled_together_and_the_open_one_has_no_number(
    host: TestClient, lab: Lab
) -> None:
    path = planned(host)
    table = lab.repository.read(lambda records: records.table(path.removeprefix("/tables/")))

    (group,) = filling_view(lab, table)
    page = host.get(f"{path}/filling").text

    assert [each["bowls"] for each in group["numbered_bowls"]] == [[1, 2, 3], [4, 5, 6]]
    assert "without a number" in page
    assert host.get(f"{path}/filling.pdf").content.startswith(b"%PDF")


def test_a_plan_like_another_reads_as_that_one_did(host: TestClient, lab: Lab) -> None:
    table_id = planned(host).removeprefix("/tables/")

    again = read_plan(typed_like(lab, table_id), MatchAsked)

    assert again.coffees == (APPROVED, ARRIVED)
    assert (again.cut_off, again.asked, again.bowls, again.follows) == (
        1.5,
        MatchAsked(certainty=0.9),
        None,
        "",
    )
    # More bowls than are needed were asked for, and are again.
    more = planned_match(lab, bowls=6)
    assert read_plan(typed_like(lab, more.id)).bowls == 6


def test_more_bowls_are_offered_once_the_codes_have_names(host: TestClient, lab: Lab) -> None:
    first = planned_match(lab)
    tasted_match(lab, first, ALIKE)

    page = host.get(f"/tables/{first.id}").text
    (link,) = re.findall(r'href="(/plan/match\?after=[0-9a-f]+)"', page)
    form = host.get(link).text

    assert "Seven more bowls" in page
    assert f'name="follows" value="{first.id}"' in form
    assert "This table adds to the answer of" in form
    assert form.count("readonly") == 3


def test_more_bowls_add_to_the_answer_and_are_offered_no_more(host: TestClient, lab: Lab) -> None:
    first = planned_match(lab)
    tasted_match(lab, first, ALIKE)

    second = planned(host, follows=first.id).removeprefix("/tables/")
    page = host.get(f"/tables/{first.id}").text

    added = added_to(lab, first)
    assert added is not None
    assert added.id == second
    assert "more bowls<small>" not in page
    assert f'href="/tables/{second}"' in page


def test_another_d_is_refused_as_another_question(host: TestClient, lab: Lab) -> None:
    first = planned_match(lab)
    tasted_match(lab, first, ALIKE)

    answer = host.post("/plan/match", data={**FORM, "follows": first.id, "cut_off": "2"})

    assert answer.status_code == 422
    assert "the same figure: 1.5" in answer.text
    assert f'name="follows" value="{first.id}"' in answer.text


def test_names_of_earlier_tables_are_not_taken_for_lots(host: TestClient, lab: Lab) -> None:
    tasted_match(lab, planned_match(lab), ALIKE)

    page = host.get(planned(host)).text

    assert "taken for the same lot" not in page
