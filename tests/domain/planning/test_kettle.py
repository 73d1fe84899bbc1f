"""Water on the scale, and waves of bowls from kettles."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.domain.planning.kettle import (
    Fill,
    Pouring,
    WaterAmount,
    bowls_a_fill,
    plan_pouring,
    water_amount,
)
from crustbreak.domain.planning.means import USUAL
from crustbreak.domain.records.recipes import STANDARD
from crustbreak.footing.errors import OutOfRange

LITRE = replace(USUAL, kettles=1, kettle_ml=1000, kettle_rest_ml=0, reheat_s=180)


def pouring(bowls: int, *, kettles: int = 1, reheat_s: float = 180) -> Pouring:
    means = replace(LITRE, kettles=kettles, reheat_s=reheat_s)
    return plan_pouring(STANDARD, means, bowls=bowls)


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


def test_nineteen_bowls_are_three_litres_and_four_waves() -> None:
    """Three fills of a 1 l kettle by volume: common practice, no source.

    Six whole bowls go into a litre, so the nineteenth needs a fourth filling.
    """
    poured = pouring(19)

    assert poured.kettlefuls == 3
    assert [fill.bowls for fill in poured.fills] == [6, 6, 6, 1]
    assert pouring(18).reheats == 2


def test_one_kettle_is_waited_for_between_its_fills() -> None:
    """Six bowls at 8 s, three minutes to heat, six bowls: 48 + 180 + 48 = 276 s."""
    poured = pouring(12)

    assert poured.fills == (
        Fill(kettle=1, bowls=6, from_s=0, until_s=48),
        Fill(kettle=1, bowls=6, from_s=228, until_s=276),
    )
    assert (poured.until_s, poured.waiting_s, poured.reheats) == (276, 180, 1)


def test_first_kettle_heats_while_the_second_is_poured() -> None:
    """Empty at 48 s and hot at 228 s, while the second pours until 96 s: 132 s of waiting."""
    poured = pouring(18, kettles=2)

    assert [(fill.kettle, fill.from_s) for fill in poured.fills] == [(1, 0), (2, 48), (1, 228)]
    assert (poured.waiting_s, poured.reheats) == (132, 1)


def test_line_of_a_plan_names_fills_and_the_end() -> None:
    assert pouring(19).said == (
        "19 bowls take 2,850 ml, 3 kettlefuls; poured from 4 fills (6 + 6 + 6 + 1) with 3 reheats: "
        "the last bowl is full at 11:32."
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
        plan_pouring(STANDARD, replace(LITRE, kettle_ml=199, kettle_rest_ml=50), bowls=1)

    assert refused.value.hint == "Take a larger kettle."


@given(
    bowls=st.integers(1, 60),
    kettles=st.integers(1, 8),
    kettle_ml=st.integers(150, 3000),
    reheat_s=st.integers(0, 600),
)
def test_no_kettle_pours_before_it_is_hot_and_nobody_pours_two_at_once(
    bowls: int, kettles: int, kettle_ml: int, reheat_s: int
) -> None:
    means = replace(LITRE, kettles=kettles, kettle_ml=kettle_ml, reheat_s=reheat_s)

    poured = plan_pouring(STANDARD, means, bowls=bowls)

    fills = poured.fills
    assert sum(fill.bowls for fill in fills) == bowls
    assert all(fill.bowls * 150 <= kettle_ml for fill in fills)
    assert all(one.until_s <= other.from_s for one, other in pairwise(fills))
    for kettle in range(1, kettles + 1):
        own = [fill for fill in fills if fill.kettle == kettle]
        assert all(other.from_s - one.until_s >= reheat_s for one, other in pairwise(own))


@given(bowls=st.integers(1, 59), kettles=st.integers(1, 8), reheat_s=st.integers(0, 600))
def test_another_kettle_never_ends_later_and_another_bowl_never_sooner(
    bowls: int, kettles: int, reheat_s: int
) -> None:
    ends = pouring(bowls, kettles=kettles, reheat_s=reheat_s).until_s

    assert pouring(bowls, kettles=kettles + 1, reheat_s=reheat_s).until_s <= ends
    assert pouring(bowls + 1, kettles=kettles, reheat_s=reheat_s).until_s > ends
