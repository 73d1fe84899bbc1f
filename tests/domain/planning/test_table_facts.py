"""What a planned table is made of, and the figures that the standards give it."""

import pytest

from crustbreak.domain.planning.table_facts import Boil, DetectableGap, Timing
from planned_tables import planned_table


@pytest.mark.parametrize(("shared", "bowls"), [(False, 30), (True, 6)])
def test_who_shares_tastes_one_bowl_of_each(shared: bool, bowls: int) -> None:
    planned = planned_table(shared=shared)

    assert (planned.bowls, planned.bowls_a_round) == (30, bowls)


def test_figures_that_nobody_gave_are_the_standards() -> None:
    """8 to 24 h of rest, 92.2 to 94.4 C: [S23]."""
    timing = Timing(
        youngest_h=9, oldest_h=9, ground_min=5, lidded=False, taste_from_s=800, cooled_s=700
    )
    boil = Boil(altitude_m=0, boiling_c=100, low_reach_m=2334, high_reach_m=1675)

    assert (timing.rest_least_h, timing.rest_most_h) == (8, 24)
    assert (boil.low_c, boil.high_c) == (92.2, 94.4)


def test_window_in_c_is_the_standards_in_f() -> None:
    """200 F, give or take 2: [S23]."""
    boil = planned_table().boil

    assert boil is not None
    assert boil.low_c == pytest.approx((198 - 32) / 1.8, abs=0.05)
    assert boil.high_c == pytest.approx((202 - 32) / 1.8, abs=0.05)
    assert planned_table().gap == DetectableGap(believing_points=1.6, tasters=3, matters_points=2)
