"""Units are dealt out again in every way, and each way counts once."""

from itertools import combinations, product
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm, permutation_test

from crustbreak.core.errors import Unacceptable
from crustbreak.numerics.permutation import MOST_WAYS, Difference, Stratum, compare_groups
from crustbreak.numerics.ratings import Numbers


def stratum(control: Any, treated: Any) -> Stratum:
    """Give one rater's units."""
    values = np.array([[*control, *treated]], dtype=float)
    return Stratum(values=values, treated=labels(len(control), len(treated)))


def labels(control: int, treated: int) -> Numbers:
    return np.array([0] * control + [1] * treated, dtype=bool)


def compared(*strata: Stratum, level: float = 0.05) -> Difference:
    found = compare_groups(strata, level=level)
    assert found is not None
    return found


def test_three_that_part_from_three_do_so_by_luck_in_one_of_twenty_ways() -> None:
    found = compared(stratum((0.0, 0.5, 1.0), (2.0, 3.0, 2.5)))

    assert (found.chance, found.ways, found.is_exact) == (1 / 20, 20, True)
    assert found.mean == 2.0


def test_four_that_part_from_four_do_so_in_one_of_seventy() -> None:
    assert compared(stratum((0, 1, 1, 0), (2, 3, 2, 2))).chance == 1 / 70


def test_a_mark_that_both_share_is_another_way_to_part_so_far() -> None:
    # The two 2's can change places and all stays as it was.
    assert compared(stratum((0, 1, 2), (2, 3, 4))).chance == 2 / 20


def test_with_three_and_three_a_shift_is_held_by_the_nearest_and_the_furthest_pair() -> None:
    # One way of twenty may be left out on either side: the one that came about. A shift is found
    # as soon as the nearest pair has changed places; by hand, 2 - 1 and 3 - 0.
    found = compared(stratum((0.0, 0.5, 1.0), (2.0, 3.0, 2.5)))

    assert (found.low, found.high) == (pytest.approx(1.0), pytest.approx(3.0))


def test_so_few_ways_hold_no_shift_at_a_stricter_level() -> None:
    found = compared(stratum((0, 1, 0), (2, 3, 2)), level=0.025)

    assert (found.low, found.high) == (None, None)


@given(
    values=st.lists(st.integers(0, 10), min_size=7, max_size=7),
    treated=st.integers(2, 5),
)
def test_is_the_exact_chance_of_a_general_library(values: list[int], treated: int) -> None:
    # scipy.stats.permutation_test counts every way where there are few: a library of its own.
    control, new = values[treated:], values[:treated]
    theirs = permutation_test(
        (new, control),
        lambda one, other, axis: one.mean(axis=axis) - other.mean(axis=axis),
        vectorized=True,
        alternative="greater",
        n_resamples=np.inf,
    )

    assert compared(stratum(control, new)).chance == pytest.approx(theirs.pvalue)


def counted_out(strata: list[tuple[Numbers, Numbers]]) -> float:
    """Count every way to deal all strata, one after the other, by loops alone."""
    every = []
    for values, treated in strata:
        units, size = len(treated), int(treated.sum())
        sums = []
        for way in combinations(range(units), size):
            rest = [unit for unit in range(units) if unit not in way]
            sums.append(sum(row[list(way)].mean() - row[rest].mean() for row in values))
        real = sum(row[treated].mean() - row[~treated].mean() for row in values)
        every.append((real, sums))
    real = sum(each for each, _ in every)
    dealt = [sum(ways) for ways in product(*(sums for _, sums in every))]
    return float(np.mean([each >= real - 1e-9 for each in dealt]))


def test_raters_of_one_bowl_are_dealt_out_with_it_and_sittings_apart() -> None:
    chance = np.random.default_rng(4)
    strata = [
        (chance.integers(0, 6, size=(raters, 5)).astype(float), labels(3, 2)) for raters in (2, 3)
    ]

    found = compared(*(Stratum(values=values, treated=each) for values, each in strata))

    assert found.ways == 100
    assert found.chance == pytest.approx(counted_out(strata))


def test_six_raters_of_the_same_bowls_are_no_six_tables() -> None:
    values = np.tile([0.0, 1.0, 0.0, 3.0, 3.0, 2.0], (6, 1))

    found = compared(Stratum(values=values, treated=labels(3, 3)))

    assert found.chance == 1 / 20


@given(st.lists(st.floats(0, 5), min_size=6, max_size=6), st.floats(-3, 3))
def test_a_shift_of_all_changes_nothing(values: list[float], shift: float) -> None:
    one = compared(stratum(values[:3], values[3:]))
    other = compared(stratum(*(np.array(part) + shift for part in (values[:3], values[3:]))))

    assert other.mean == pytest.approx(one.mean, abs=1e-9)


@given(st.lists(st.integers(0, 20), min_size=8, max_size=8))
def test_a_shift_within_the_interval_would_not_be_found(values: list[int]) -> None:
    control, treated = np.array(values[:4]) / 2, np.array(values[4:]) / 2
    found = compared(stratum(control, treated))
    assert found.low is not None
    assert found.high is not None

    # Just outside on the lower side the test finds it, just inside it does not.
    assert compared(stratum(control, treated - found.low + 0.01)).chance <= 0.05
    assert compared(stratum(control, treated - found.low - 0.01)).chance > 0.05
    assert found.low <= found.high


def test_what_a_rater_did_not_rate_is_left_out_of_that_raters_means() -> None:
    values = np.array([[0.0, 1.0, np.nan, 3.0], [1.0, 1.0, 2.0, np.nan]])

    found = compared(Stratum(values=values, treated=labels(2, 2)))

    # 3 - 0.5 of the one, 2 - 1 of the other.
    assert found.mean == pytest.approx((2.5 + 1.0) / 2)


def test_a_rater_of_one_kind_alone_has_no_part() -> None:
    values = np.array([[0.0, 1.0, 2.0, 3.0], [5.0, 5.0, np.nan, np.nan]])

    found = compared(Stratum(values=values, treated=labels(2, 2)))

    assert found.mean == 2.0


@given(
    values=st.lists(st.integers(0, 10), min_size=12, max_size=12),
    unrated=st.sets(st.integers(0, 11), max_size=8),
)
def test_whoever_rated_what_luck_parts_so_far_no_more_often_than_is_said(
    values: list[int], unrated: set[int]
) -> None:
    # The definition of a level, over everything that chance could have dealt: of twenty ways one
    # at most is called one in twenty. A rater of one kind alone may not move it either.
    marks = np.array([np.nan if nth in unrated else each for nth, each in enumerate(values)])
    ways = [np.isin(np.arange(6), way) for way in combinations(range(6), 3)]

    found = [
        compare_groups([Stratum(values=marks.reshape(2, 6), treated=way)], level=0.05)
        for way in ways
    ]

    for level in (0.05, 0.1, 0.3):
        assert sum(each is not None and each.chance <= level + 1e-9 for each in found) <= 20 * level


def test_a_sitting_without_both_kinds_adds_to_the_ways_and_not_to_the_mean() -> None:
    full = stratum((0.0, 0.5, 1.0), (2.0, 3.0, 2.5))
    half = Stratum(values=np.array([[np.nan, np.nan, 4.0, 5.0]]), treated=labels(2, 2))
    none = Stratum(values=np.full((1, 4), np.nan), treated=labels(2, 2))

    assert (compared(full, half).mean, compared(full, half).ways) == (2.0, 120)
    assert compared(full, none) == compared(full)


def test_without_marks_of_both_kinds_there_is_nothing_to_compare() -> None:
    nothing = Stratum(values=np.full((1, 4), np.nan), treated=labels(2, 2))

    assert compare_groups([nothing], level=0.05) is None
    assert compare_groups([], level=0.05) is None


def test_more_ways_than_can_be_counted_are_drawn_and_what_came_about_is_among_them() -> None:
    chance = np.random.default_rng(1)
    strata = [Stratum(values=chance.normal(size=(1, 6)), treated=labels(3, 3)) for _ in range(5)]

    found = compared(*strata)

    assert MOST_WAYS < 20**5
    assert not found.is_exact
    assert 0 < found.chance < 1
    assert found == compared(*strata)


def test_drawn_ways_agree_with_the_normal_curve() -> None:
    # The sum over many strata of what is dealt out is nearly normal, with a variance that can be
    # worked out by hand: of a difference of two means of 3 of 6, s^2 (1/3 + 1/3).
    chance = np.random.default_rng(7)
    values = [chance.normal(size=6) for _ in range(8)]
    found = compared(*(Stratum(values=each[None], treated=labels(3, 3)) for each in values))
    variance = sum(each.var(ddof=1) * (2 / 3) for each in values) / 8**2
    assert found.chance == pytest.approx(norm.sf(found.mean / np.sqrt(variance)), abs=0.02)


def test_units_of_one_stratum_that_are_too_many_to_count_are_drawn() -> None:
    # Of 15 + 15 there are 155 million ways. Against the normal curve, as above.
    chance = np.random.default_rng(3)
    control, treated = chance.normal(size=15), chance.normal(0.5, size=15)
    found, far = compared(stratum(control, treated)), compared(stratum(control, treated + 20))
    variance = np.concatenate([control, treated]).var(ddof=1) * (2 / 15)

    assert not found.is_exact
    assert found.chance == pytest.approx(norm.sf(found.mean / np.sqrt(variance)), abs=0.01)
    # None of those drawn lies as far, but what came about is one of them.
    assert far.chance == 1 / 50_001
    assert found.low is not None
    assert found.high is not None
    assert found.low < found.mean < found.high


def test_shapes_that_do_not_fit_are_refused() -> None:
    wrong = Stratum(values=np.zeros((1, 4)), treated=labels(2, 1))

    with pytest.raises(Unacceptable, match="cannot be compared") as refused:
        compare_groups([wrong], level=0.05)
    assert refused.value.problems[0].found == "(1, 4) and (3,)"


@pytest.mark.parametrize("seed", range(6))
def test_chance_is_kept_whoever_rated_what(seed: int) -> None:
    # A rater who happened to rate one kind alone still has a part in other ways to deal. Over all
    # twenty, no chance may come out too often: at most one of them has a twentieth.
    chance = np.random.default_rng(seed)
    values = chance.integers(0, 6, size=(3, 6)).astype(float)
    values[1, [2, 3, 4, 5]] = np.nan
    values[2, [0, 3]] = np.nan
    found = []
    for way in combinations(range(6), 3):
        treated = np.isin(np.arange(6), way)
        found.append(compared(Stratum(values=values, treated=treated)).chance)

    for level in (0.05, 0.1, 0.25, 0.5):
        assert np.mean(np.array(found) <= level + 1e-9) <= level + 1e-9
