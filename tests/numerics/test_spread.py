"""Middle and spread, against certified values and against themselves."""

from math import isclose

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from crustbreak.numerics.spread import Spread, spread_of

SCORES = st.lists(st.integers(0, 400).map(lambda quarters: quarters / 4), min_size=2, max_size=12)


def about(middle: float) -> list[float]:
    """Give the 1,001 numbers of NumAcc2 to 4: a middle, then a tenth below and above it."""
    around = (round(middle - 0.1, 1), round(middle + 0.1, 1))
    return [middle, *(around * 500)]


# Certified mean and standard deviation of data sets that follow from their definition.
# Source: [S5], data sets NumAcc1 to NumAcc4. The tolerance of the deviation is what
# is left of 1e-15 when a tenth is looked for in numbers of that size.
@pytest.mark.parametrize(
    ("values", "mean", "deviation", "tolerance"),
    [
        ([10_000_001.0, 10_000_003.0, 10_000_002.0], 10_000_002.0, 1.0, 1e-14),
        (about(1.2), 1.2, 0.1, 1e-14),
        (about(1_000_000.2), 1_000_000.2, 0.1, 1e-8),
        (about(10_000_000.2), 10_000_000.2, 0.1, 1e-7),
    ],
    ids=["NumAcc1", "NumAcc2", "NumAcc3", "NumAcc4"],
)
def test_certified_values_are_met(
    values: list[float], mean: float, deviation: float, tolerance: float
) -> None:
    found = spread_of(values)

    assert found is not None
    assert found.deviation is not None
    assert found.count == len(values)
    assert isclose(found.mean, mean, rel_tol=1e-14)
    assert isclose(found.deviation, deviation, rel_tol=tolerance)


def test_two_numbers_lie_half_their_distance_times_root_two_apart() -> None:
    """By hand: the deviation of a and b is (b - a) / sqrt(2); here 4 / sqrt(2), squared 8."""
    found = spread_of([82.0, 86.0])

    assert found is not None
    assert (found.count, found.mean, found.least, found.most) == (2, 84.0, 82.0, 86.0)
    assert isclose((found.deviation or 0) ** 2, 8.0, rel_tol=1e-15)


@given(SCORES, st.integers(-400, 400))
def test_shift_moves_the_mean_and_leaves_the_deviation(scores: list[float], by: int) -> None:
    before, moved = spread_of(scores), spread_of([score + by for score in scores])

    assert before is not None
    assert moved is not None
    assert isclose(moved.mean, before.mean + by, rel_tol=1e-12, abs_tol=1e-12)
    assert isclose(moved.deviation or 0, before.deviation or 0, rel_tol=1e-12)
    assert (moved.least, moved.most) == (before.least + by, before.most + by)


@given(SCORES, st.integers(2, 50))
def test_scale_stretches_mean_and_deviation_alike(scores: list[float], times: int) -> None:
    before, wide = spread_of(scores), spread_of([score * times for score in scores])

    assert before is not None
    assert wide is not None
    assert isclose(wide.mean, before.mean * times, rel_tol=1e-12)
    assert isclose(wide.deviation or 0, (before.deviation or 0) * times, rel_tol=1e-12)


@given(st.data(), SCORES)
def test_order_does_not_matter(data: st.DataObject, scores: list[float]) -> None:
    assert spread_of(data.draw(st.permutations(scores))) == spread_of(scores)


@given(SCORES)
def test_mean_lies_between_the_extremes_and_deviation_within_their_distance(
    scores: list[float],
) -> None:
    """For n numbers no sample deviation exceeds range * sqrt(n / (n - 1)) / 2."""
    found = spread_of(scores)

    assert found is not None
    assert found.least <= found.mean <= found.most
    widest = (found.most - found.least) / 2 * (found.count / (found.count - 1)) ** 0.5
    assert 0 <= (found.deviation or 0) <= widest * (1 + 1e-12)


@given(SCORES)
def test_deviation_is_nought_only_where_all_are_equal(scores: list[float]) -> None:
    assume(len(set(scores)) > 1)

    found = spread_of(scores)

    assert found is not None
    assert (found.deviation or 0) > 0


def test_no_numbers_have_no_spread() -> None:
    assert spread_of([]) is None


def test_one_number_has_no_deviation_rather_than_nought() -> None:
    assert spread_of([84.75]) == Spread(
        count=1, mean=84.75, deviation=None, least=84.75, most=84.75
    )


@pytest.mark.parametrize("value", [0.0, 84.75, 0.1, 1e9])
def test_equal_numbers_have_a_deviation_of_nought(value: float) -> None:
    found = spread_of([value] * 7)

    assert found == Spread(count=7, mean=value, deviation=0.0, least=value, most=value)
