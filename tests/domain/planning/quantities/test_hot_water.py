"""Water on the scale, and bowls from a kettle."""

from dataclasses import replace

import pytest

from crustbreak.core.errors import OutOfRange
from crustbreak.domain.planning.quantities.equipment import USUAL
from crustbreak.domain.planning.quantities.hot_water import (
    WaterAmount,
    bowls_a_fill,
    water_amount,
)
from crustbreak.domain.records.recipes import STANDARD

LITRE = replace(USUAL, kettles=1, kettle_ml=1000, kettle_rest_ml=0, reheat_s=180)


@pytest.mark.parametrize(
    ("density_kg_m3", "bowl_g"),
    [
        # A litre at 93 C weighs 963 g, and 150 ml 144.5 g: handbook value, from memory.
        (963.0, 144.5),
        # At 90 and 100 C: 965.3 and 958.4 kg/m3, handbook values as public tables print them.
        (965.3, 144.8),
        (958.4, 143.8),
    ],
)
def test_hot_water_weighs_less_than_its_volume(density_kg_m3: float, bowl_g: float) -> None:
    water = water_amount(STANDARD, bowls=30, density_kg_m3=density_kg_m3)

    assert water.bowl_g == pytest.approx(bowl_g, abs=0.06)
    assert water.total_g == pytest.approx(30 * water.bowl_g)
    assert water.total_ml == 4500


def test_line_of_a_plan_names_volume_and_mass() -> None:
    water = WaterAmount(bowls=19, pour_c=93, bowl_ml=150, bowl_g=144.45)

    assert water.said == (
        "150 ml of water at 93 C is 144.4 g on the scale; 19 bowls take 2,850 ml, 2,745 g."
    )


@pytest.mark.parametrize(
    ("kettle_ml", "rest_ml", "bowls"), [(1000, 0, 6), (900, 0, 6), (899, 0, 5), (1000, 101, 5)]
)
def test_a_fill_serves_whole_bowls_without_the_rest(
    kettle_ml: float, rest_ml: float, bowls: int
) -> None:
    means = replace(LITRE, kettle_ml=kettle_ml, kettle_rest_ml=rest_ml)

    assert bowls_a_fill(STANDARD, means) == bowls


def test_kettle_smaller_than_a_bowl_is_refused() -> None:
    with pytest.raises(OutOfRange) as refused:
        bowls_a_fill(STANDARD, replace(LITRE, kettle_ml=199, kettle_rest_ml=50))

    assert refused.value.hint == "Take a larger kettle."
