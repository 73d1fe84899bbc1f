import pytest

from crustbreak.core.errors import OutOfRange
from crustbreak.domain.brewing.extraction import strength_percent, yield_percent

# By hand, for 8.25 g: 18, 20 and 22 % of it are 1.485, 1.650 and 1.815 g; dissolved in the water
# they are 1.485 / 151.485 = 0.980 % and so on.
BY_HAND = [
    (18, 150, 0.98),
    (20, 150, 1.09),
    (22, 150, 1.20),
    (18, 144.5, 1.02),
    (20, 144.5, 1.13),
    (22, 144.5, 1.24),
]


@pytest.mark.parametrize(("yielded", "water_g", "strength"), BY_HAND)
def test_the_protocol_bowl_is_as_strong_as_by_hand(
    yielded: float, water_g: float, strength: float
) -> None:
    found = strength_percent(yielded, dose_g=8.25, water_g=water_g)

    assert found == pytest.approx(strength, abs=0.005)


@pytest.mark.parametrize("yielded", [0, 5, 20.6, 30, 100])
def test_yield_and_strength_are_each_other_turned_round(yielded: float) -> None:
    strength = strength_percent(yielded, dose_g=12, water_g=200)

    assert yield_percent(strength, dose_g=12, water_g=200) == pytest.approx(yielded)


def test_the_formula_for_filter_coffee_would_understate_it() -> None:
    # By hand: 1.12 x 150 / (8.25 x 0.9888) = 20.6; by strength times beverage over dose, with 2 g
    # of water kept by each g of coffee, 1.12 x 133.5 / 8.25 = 18.1.
    bowl = yield_percent(1.12, dose_g=8.25, water_g=150)

    assert bowl == pytest.approx(20.6, abs=0.05)
    assert bowl - 1.12 * (150 - 2 * 8.25) / 8.25 == pytest.approx(2.5, abs=0.05)


def test_what_is_dissolved_is_neither_lost_nor_made() -> None:
    strength = yield_percent(1.3, dose_g=10, water_g=180) / 100

    assert 1.3 / 100 * (180 + strength * 10) == pytest.approx(strength * 10)


@pytest.mark.parametrize(
    ("strength", "dose_g", "water_g"), [(11, 8, 150), (-1, 8, 150), (1, 0, 150), (1, 8, 0)]
)
def test_what_cannot_be_is_refused(strength: float, dose_g: float, water_g: float) -> None:
    with pytest.raises(OutOfRange):
        yield_percent(strength, dose_g=dose_g, water_g=water_g)


def test_no_more_than_all_of_it_dissolves() -> None:
    with pytest.raises(OutOfRange, match="yield"):
        strength_percent(101, dose_g=8.25, water_g=150)
