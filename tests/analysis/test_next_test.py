from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from crustbreak.analysis.next_test import (
    SETTLED,
    NextTest,
    Trial,
    are_tied,
    choose_test,
    compare_tests,
    expected_regret,
)
from crustbreak.analysis.panel import draw_panel
from crustbreak.analysis.uncertainty import INDIFFERENT
from crustbreak.domain.records.lab_settings import LabSettings
from datasets import dataset
from priors import TEN_LINE


def weigh(totals: dict[str, dict[str, float | None]], **asked: object) -> NextTest:
    given = dataset(totals, **asked)
    return compare_tests(given, draw_panel(given, TEN_LINE))


NEAR = {
    "Tarn": {"Ines": 84.5, "Wren": 84.0},
    "Fen Cross": {"Ines": 83.5, "Wren": 84.5},
    "Marrow Hill": {"Ines": 76.0, "Wren": 77.0},
}


def test_regret_is_the_mean_beyond_the_margin() -> None:
    # Oracle: scipy.stats.norm.expect, the integral done numerically.
    for margin, sd in ((0.0, 1.0), (0.7, 1.3), (-1.2, 0.4)):
        lot = norm(margin, sd)
        bought = lot.expect(lambda at: np.maximum(-at - INDIFFERENT, 0))
        declined = lot.expect(lambda at: np.maximum(at - INDIFFERENT, 0))

        found = float(expected_regret(np.array(margin), np.array(sd)))

        assert found == pytest.approx(min(bought, declined), abs=1e-6)


def test_weighs_at_most_six_tests_of_the_coffees_that_are_open() -> None:
    found = weigh(NEAR)

    assert isinstance(found, NextTest)
    assert 2 <= len(found.menu) <= 6
    assert all(isinstance(each, Trial) for each in found.menu)
    assert {each.coffees for each in found.menu} == {("Tarn", "Fen Cross"), ("Tarn",)}
    assert all(0 <= each.saved <= found.regret for each in found.menu)
    rates = [each.saved / each.minutes for each in found.menu]
    assert rates == sorted(rates, reverse=True)


def test_a_test_that_learns_more_saves_more() -> None:
    by_name = {each.say: each for each in weigh(NEAR).menu}

    same = by_name["the same tasters, another table, new codes"]
    anew = by_name["the same tasters, another day, a new roast"]
    twice = by_name["the same tasters, a new roast, each coffee under two codes"]
    more = by_name["two more tasters, a new roast"]

    # A new roast also tells of the roast; two codes, or two more people, tell more than one.
    assert same.saved < anew.saved < twice.saved
    assert anew.saved < more.saved


def test_nothing_is_tasted_again_where_all_is_clear() -> None:
    clear = {
        name: dict.fromkeys(("Ines", "Wren", "Bo"), points)
        for name, points in (("Tarn", 92.0), ("Fen", 74.0))
    }

    found = weigh(clear)

    assert (found.answer, found.best, found.menu) == ("settled", None, ())


@pytest.mark.parametrize(
    ("margin", "sd"), [(0.0, 0.4), (0.2, 0.3), (0.0, 0.9), (0.6, 0.3), (-3.0, 0.1)]
)
def test_a_tie_is_where_either_decision_costs_next_to_nothing(margin: float, sd: float) -> None:
    # Oracle: scipy.stats.norm.expect, the integral done numerically.
    lot = norm(margin, sd)
    bought = lot.expect(lambda at: np.maximum(-at - INDIFFERENT, 0))
    declined = lot.expect(lambda at: np.maximum(at - INDIFFERENT, 0))

    assert bool(are_tied(np.array(margin), np.array(sd))) == (max(bought, declined) < SETTLED)


def test_a_coffee_known_to_be_on_the_line_is_a_tie() -> None:
    """Where roasts and tables hardly differ, twelve tasters leave little doubt."""
    tasters = [f"T{nth}" for nth in range(12)]
    even = {"roast": (0.05, 0.1), "table": (0.05, 0.1), "bad_bowls": (0.5, 99.5)}
    given = dataset(
        {"Tarn": dict.fromkeys(tasters, 84.0), "Fen": dict.fromkeys(tasters, 76.0)}, cut_off=84.0
    )

    found = compare_tests(given, draw_panel(given, replace(TEN_LINE, **even)))

    assert (found.answer, found.tied, found.menu) == ("a tie", ("Tarn",), ())


def test_says_which_test_is_worth_its_minutes() -> None:
    found = weigh(NEAR)

    assert found.answer == "test"
    assert found.best in found.menu
    assert found.best is not None
    assert found.best.saved >= 0.2 * found.regret


def trial(say: str, *, minutes: float, saved: float, **money: float) -> Trial:
    return Trial(say=say, coffees=("Tarn",), minutes=minutes, saved=saved, **money)


def deciding_now(regret: float, loss: float | None = None) -> NextTest:
    return NextTest(regret=regret, answer="settled", best=None, menu=(), loss=loss)


def test_says_when_nothing_affordable_will_tell() -> None:
    little = [trial("long", minutes=100, saved=0.19), trial("short", minutes=10, saved=0.02)]

    found = choose_test(deciding_now(1.0), little)

    assert (found.answer, found.best) == ("nothing affordable will tell", None)
    assert [each.say for each in found.menu] == ["short", "long"]


def test_passes_over_what_is_quick_and_settles_nothing() -> None:
    enough, quick = trial("long", minutes=100, saved=0.5), trial("short", minutes=1, saved=0.1)

    assert choose_test(deciding_now(1.0), [enough, quick]).best == enough


def test_in_money_a_test_has_to_save_what_the_hours_cost() -> None:
    dear = trial("dear", minutes=60, saved=0.9, gain=100.0, cost=120.0)
    worth = trial("worth it", minutes=90, saved=0.1, gain=130.0, cost=120.0)

    found = choose_test(deciding_now(1.0, loss=200.0), [worth, dear])
    neither = choose_test(deciding_now(1.0, loss=200.0), [dear])
    nothing = choose_test(deciding_now(1.0, loss=110.0), [dear])

    assert (found.answer, found.best) == ("test", worth)
    assert [each.say for each in found.menu] == ["dear", "worth it"]
    assert (neither.answer, neither.best) == ("nothing affordable will tell", None)
    # Knowing everything would save 110, and no test costs less than 120.
    assert (nothing.answer, nothing.menu) == ("settled", ())


def priced(kilos: dict[str, float], *, hour_cost: float = 40.0) -> NextTest:
    given = dataset(NEAR)
    coffees = tuple(
        replace(each, price=8.0, kilos=kilos.get(each.name, 100.0)) for each in given.coffees
    )
    renamed = {each.id: each for each in coffees}
    ratings = tuple(replace(rating, coffee=renamed[rating.coffee.id]) for rating in given.ratings)
    lab_settings = LabSettings(point_worth=5.0, hour_cost=hour_cost)
    given = replace(given, coffees=coffees, ratings=ratings, lab_settings=lab_settings)
    return compare_tests(given, draw_panel(given, TEN_LINE))


def test_with_prices_regret_is_money_by_what_a_point_is_worth() -> None:
    # By hand: 8 a kilo, 5 in 100 of it a point, 1,000 kg: 400 a point, for each coffee.
    found = priced(dict.fromkeys(NEAR, 1000.0))

    assert found.stakes is not None
    assert found.stakes.per_point == (400.0, 400.0, 400.0)
    assert found.loss == pytest.approx(400 * found.regret, abs=0.1)
    for each in found.menu:
        assert each.gain == pytest.approx(400 * each.saved, abs=0.1)
    # By hand: two tasters, 40 an hour each.
    same = next(each for each in found.menu if each.say.endswith("another table, new codes"))
    assert same.cost == pytest.approx(2 * 40 * same.minutes / 60, abs=1e-3)


def test_a_sack_is_not_worth_a_table_and_a_container_is() -> None:
    assert priced(dict.fromkeys(NEAR, 60.0)).answer == "settled"
    assert priced(dict.fromkeys(NEAR, 18_000.0)).answer == "test"


def test_the_coffee_with_most_at_stake_can_be_tasted_alone() -> None:
    found = priced({"Fen Cross": 18_000.0})

    assert ("Fen Cross",) in {each.coffees for each in found.menu}
    assert ("Tarn",) not in {each.coffees for each in found.menu}
