"""What a bowl leaves to taste, and the caffeine in it."""

from dataclasses import replace

import pytest

from crustbreak.domain.planning.quantities.drinkable_volume import Liquor, caffeine_mg, liquor
from crustbreak.domain.planning.quantities.equipment import USUAL
from crustbreak.domain.records.recipes import STANDARD


def test_a_bowl_of_150_ml_leaves_about_100_to_taste() -> None:
    """150 less 17 absorbed and 30 over the grounds: common practice, no source."""
    assert liquor(STANDARD, USUAL, tasters=1, spoons=1).left_ml == pytest.approx(103, abs=0.5)


@pytest.mark.parametrize(
    ("tasters", "spoons", "bowls"),
    # Twelve guests need two to three bowls a coffee: common practice, no source.
    [(12, 3, 2), (12, 4, 3), (3, 3, 1), (6, 3, 1), (7, 3, 2)],
)
def test_spoons_of_all_tasters_make_the_bowls(tasters: int, spoons: int, bowls: int) -> None:
    assert liquor(STANDARD, USUAL, tasters=tasters, spoons=spoons).bowls == bowls


def test_line_of_a_plan_names_what_is_left_and_what_is_taken() -> None:
    assert liquor(STANDARD, USUAL, tasters=12, spoons=3).said == (
        "A bowl leaves about 103 ml to taste; the tasters take 180 ml of a coffee: 2 bowls."
    )


def test_bowl_that_the_grounds_drink_up_makes_no_number_of_bowls() -> None:
    dry = liquor(replace(STANDARD, water_ml=40), USUAL, tasters=2, spoons=1)

    assert dry == Liquor(left_ml=dry.left_ml, asked_ml=10)
    assert (dry.bowls, dry.left_ml < 0) == (None, True)
    assert dry.said == "A bowl leaves about 0 ml to taste; the tasters take 10 ml of a coffee."


def test_fifty_cups_by_three_spoons_swallowed_are_450_to_700_mg() -> None:
    """0.66 mg/ml and spoons of 5 ml: common practice, no source."""
    assert caffeine_mg(STANDARD, USUAL, spoons=1) / 5 == pytest.approx(0.66)
    assert 450 <= caffeine_mg(STANDARD, USUAL, spoons=150) <= 700


def test_caffeine_goes_with_the_dose_and_against_the_water() -> None:
    strong = caffeine_mg(replace(STANDARD, dose_g=16.5), USUAL, spoons=10)
    long = caffeine_mg(replace(STANDARD, water_ml=300), USUAL, spoons=10)

    assert (strong, long) == (pytest.approx(66), pytest.approx(16.5))
    assert caffeine_mg(STANDARD, USUAL, spoons=0) == 0
