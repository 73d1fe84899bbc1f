import re

from at_the_table import planned, under_way
from fastapi.testclient import TestClient

from crustbreak.analysis.forecast import TableSpec, forecast_table_facts
from crustbreak.analysis.scheduling.schedule import Schedule
from crustbreak.domain.records.lab_settings import LabSettings
from crustbreak.domain.records.recipes import STANDARD
from crustbreak.ports.lab import Lab
from crustbreak.web.host.plan.forecast import (
    LEFT,
    WIDE,
    course_text,
    draw_course,
    first_round_text,
    forecast_view,
    hands_text,
    misfit_data,
    people_of,
)

TWO = forecast_table_facts(
    LabSettings(kettles=2, kettle_ml=3000),
    TableSpec(recipe=STANDARD, places=2, cups=2, tasters=1, rounds=3),
)
DRAFT = {"coffees": "One\nTwo\nThree", "tasters": "Odile", "cut_off": "", "setter": ""}


def test_says_when_bowls_are_poured_broken_and_skimmed() -> None:
    assert TWO.schedule is not None

    said = course_text(TWO.schedule)

    # By hand: four bowls, 8 s from one to the next, the last in hand for 7; four minutes of steep.
    assert "pours from 0:00 to 0:31" in said
    assert "breaks from 4:00 to 4:31" in said
    assert "every steep as the recipe says" in said


def foreseen_with(people: int) -> Schedule:
    # Sixty bowls: more than one person can do before the first of them is ready to taste.
    many = TableSpec(recipe=STANDARD, places=12, cups=5, tasters=1, rounds=3, people=people)
    schedule = forecast_table_facts(LabSettings(kettles=4, kettle_ml=3000), many).schedule
    assert schedule is not None
    return schedule


def test_says_who_does_what() -> None:
    schedule = foreseen_with(2)

    said = course_text(schedule)

    assert people_of(schedule) == 2
    assert said.startswith("Two people, ")
    assert said.endswith(hands_text(schedule))
    counts = [int(each) for each in re.findall(r"(\d+) bowls?", hands_text(schedule))]
    # Each of sixty bowls is poured, broken and skimmed once.
    assert sum(counts) == 3 * 60
    assert "; person 2 " in said


def test_says_when_fewer_hands_do() -> None:
    few = TableSpec(recipe=STANDARD, places=1, cups=1, tasters=1, rounds=3, people=3)
    schedule = forecast_table_facts(LabSettings(), few).schedule
    assert schedule is not None

    assert hands_text(schedule) == (
        " Person 1 pours 1 bowl; person 2 breaks 1 bowl and skims 1 bowl. Nobody else is needed."
    )


def test_draws_a_strip_for_each_person() -> None:
    bars = draw_course(foreseen_with(2))["bars"]

    strips = {work: {bar["y"] for bar in bars if bar["work"] == work} for work in ("pour", "break")}
    assert {bar["tall"] for bar in bars} == {12}
    # One kettle in one hand: the first pours, and the second's strip is the lower one.
    assert strips["pour"] == {10}
    assert 46 + 12 in strips["break"]


def test_draws_a_bar_for_every_act_within_the_picture() -> None:
    assert TWO.schedule is not None

    picture = draw_course(TWO.schedule)

    assert [bar["work"] for bar in picture["bars"]].count("pour") == 4
    assert len(picture["bars"]) == 12
    assert all(LEFT <= bar["x"] <= bar["x"] + bar["wide"] <= WIDE + 2 for bar in picture["bars"])
    assert picture["marks"][0]["said"] == 0


def test_says_by_how_much_it_takes_too_long_and_what_mends_it() -> None:
    # Thirty bowls of 21 s each in a row fit; eighty do not, whatever the order.
    many = TableSpec(recipe=STANDARD, places=16, cups=5, tasters=1, rounds=3)
    misfit = forecast_table_facts(LabSettings(kettles=8, kettle_ml=3000), many).misfit
    assert misfit is not None

    said = misfit_data(misfit)

    assert "nothing takes less than" in said["found"]
    assert "the first bowls are ready to taste" in said["found"]
    assert said["fix"].startswith("Ask a second person to break and skim. Or: ")


def test_says_from_when_on_a_bowl_may_be_tasted() -> None:
    said = first_round_text(TWO)

    assert re.match(r"First round from 1\d:\d\d after a bowl's pour", said)
    assert "65 °C or below" in said


def test_shows_nothing_before_there_is_anything() -> None:
    assert forecast_view(None) is None


def test_what_is_typed_is_looked_at_and_stays(host: TestClient, lab: Lab) -> None:
    page = host.post("/plan/choose/look", data=DRAFT)

    assert page.status_code == 200
    assert "What it takes" in page.text
    assert "5 bowls of 8.25 g" in page.text
    assert "One\nTwo\nThree" in page.text
    assert lab.repository.read(lambda records: records.tables()) == ()


def test_says_what_is_in_the_way_and_what_mends_it(host: TestClient) -> None:
    eight = "\n".join(f"Coffee {nth}" for nth in range(8))
    asked = {**DRAFT, "coffees": eight, "bowls": "5"}

    page = host.post("/plan/choose/look", data=asked).text

    assert "Something is in the way." in page
    assert re.search(r"Take \d+ cups instead of 40", page)


def test_asks_for_coffees_first(host: TestClient) -> None:
    assert "Type coffees and tasters first" in host.post("/plan/choose/look", data={}).text


def test_the_table_says_it_until_the_pour(host: TestClient, lab: Lab) -> None:
    before = host.get(f"/tables/{planned(lab).id}").text
    after = host.get(f"/tables/{under_way(lab).id}").text

    assert "What it takes" in before
    assert "What it takes" not in after


def test_a_list_that_nobody_could_pour_is_said_to_be_and_stays(host: TestClient) -> None:
    many = "\n".join(f"Offer {nth}" for nth in range(60))

    page = host.post("/plan/choose/look", data={**DRAFT, "coffees": many, "bowls": "5"})

    assert page.status_code == 422
    assert "Offer 59" in page.text
    assert "a whole number from 1 to 120" in page.text
