"""Grams of roasted and green coffee for a table, and over a sample's life.

All amounts: common practice, no source.
"""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.domain.planning.quantities.coffee_amounts import (
    CoffeeAmount,
    SampleBalance,
    SampleUse,
    coffee_amount,
    sample_balance,
)
from crustbreak.domain.planning.quantities.equipment import USUAL
from crustbreak.domain.records.recipes import STANDARD


def balance(sample_g: float, *, graded: bool, roasts: int = 1, retained: int = 2) -> SampleBalance:
    use = SampleUse(sample_g=sample_g, graded=graded, roasts=roasts, retained=retained)
    found = sample_balance(use, coffee_amount(STANDARD, USUAL, cups=5), USUAL)
    assert found is not None
    return found


@pytest.mark.parametrize(("colour_g", "roasted_g", "green_g"), [(8, 55, 65), (10, 60, 70)])
def test_five_cups_take_55_to_60_g_roasted_and_65_to_70_g_green(
    colour_g: float, roasted_g: float, green_g: float
) -> None:
    """41.25 + 5 + 8 = 54.25 and 41.25 + 5 + 10 = 56.25; over 0.87: 63.2 and 69.0."""
    amount = coffee_amount(STANDARD, replace(USUAL, colour_g=colour_g), cups=5)

    assert (amount.brewed_g, amount.roasted_g, amount.green_g) == (41.25, roasted_g, green_g)


def test_one_cup_without_purge_or_colour_is_its_dose() -> None:
    means = replace(USUAL, purge_g=0, colour_g=0, loss_share=0, weigh_to_g=0.25)

    amount = coffee_amount(STANDARD, means, cups=1)

    assert (amount.roasted_g, amount.green_g) == (8.25, 8.25)


@given(
    cups=st.integers(1, 60),
    loss_share=st.floats(0, 0.5),
    weigh_to_g=st.sampled_from([0.01, 0.1, 0.5, 1, 5, 10]),
)
def test_what_is_weighed_out_suffices_and_is_less_than_a_step_too_much(
    cups: int, loss_share: float, weigh_to_g: float
) -> None:
    means = replace(USUAL, loss_share=loss_share, weigh_to_g=weigh_to_g)

    amount = coffee_amount(STANDARD, means, cups=cups)

    over_g = amount.roasted_g - (cups * 8.25 + 15)
    burnt_g = amount.green_g * (1 - loss_share) - amount.roasted_g
    assert -1e-4 <= over_g <= weigh_to_g
    assert -1e-4 <= burnt_g <= weigh_to_g


def test_line_of_a_plan_names_every_gram() -> None:
    amount = CoffeeAmount(cups=5, dose_g=8.25, purge_g=5, colour_g=8, roasted_g=55, green_g=65)

    assert amount.said == (
        "5 bowls of 8.25 g, 5 g to purge the grinder and 8 g for the colour: 55 g roasted, "
        "65 g green."
    )


def test_an_offer_of_250_g_cannot_be_graded_roasted_and_retained() -> None:
    """350 g to grade, 2 x 100 g to retain; the roast adds what the test above says."""
    offer = balance(250, graded=True)

    assert (offer.needed_g, offer.left_g) == (620, -370)
    assert offer.said == (
        "A sample of 250 g cannot give 350 g for grading, 1 x 70 g to roast and 2 x 100 g to "
        "retain: 370 g short."
    )


@pytest.mark.parametrize(
    ("sample_g", "graded", "roasts", "retained", "left_g"),
    [
        (250, False, 1, 1, 80),
        (250, False, 1, 2, -20),
        (350, True, 1, 0, -70),
        (620, True, 1, 2, 0),
        (500, False, 4, 2, 20),
    ],
)
def test_what_is_left_is_what_was_there_less_what_it_gives(
    sample_g: float, graded: bool, roasts: int, retained: int, left_g: float
) -> None:
    assert balance(sample_g, graded=graded, roasts=roasts, retained=retained).left_g == left_g


def test_sample_that_suffices_says_what_is_left() -> None:
    assert balance(250, graded=False, retained=0).said == (
        "A sample of 250 g gives 1 x 70 g to roast; 180 g left."
    )


def test_sample_that_nobody_weighed_has_no_balance() -> None:
    use = SampleUse(sample_g=None, graded=True, roasts=1, retained=2)

    assert sample_balance(use, coffee_amount(STANDARD, USUAL, cups=5), USUAL) is None
