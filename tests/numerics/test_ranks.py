import numpy as np
import pytest
from scipy.stats import norm

from crustbreak.numerics.ranks import over_chances, rank_chances, within_chances

THREE = np.array([[3.0, 1.0, 2.0], [3.0, 2.0, 1.0], [1.0, 3.0, 2.0], [3.0, 1.0, 2.0]])


def test_counts_ranks_as_one_does_by_hand() -> None:
    assert rank_chances(THREE).tolist() == [
        [0.75, 0.0, 0.25],
        [0.25, 0.25, 0.5],
        [0.0, 0.75, 0.25],
    ]


def test_counts_who_lies_over_whom_as_one_does_by_hand() -> None:
    over = over_chances(THREE)

    assert over[0].tolist() == [0.5, 0.75, 0.75]
    assert over[1].tolist() == [0.25, 0.5, 0.5]
    assert (over + over.T).tolist() == np.ones((3, 3)).tolist()


def test_counts_who_lies_near_whom_as_one_does_by_hand() -> None:
    assert within_chances(THREE, 1.0)[0].tolist() == [1.0, 0.25, 0.75]


def test_two_gaussians_part_as_the_normal_distribution_says() -> None:
    # Oracle: P(A > B) = Phi(gap / sqrt(2)) for unit Gaussians, by scipy.stats.norm.
    draws = np.random.default_rng(1).standard_normal((200_000, 2)) + np.array([1.0, 0.0])

    assert over_chances(draws)[0, 1] == pytest.approx(norm.cdf(1 / np.sqrt(2)), abs=0.005)
    assert rank_chances(draws)[0, 0] == pytest.approx(norm.cdf(1 / np.sqrt(2)), abs=0.005)
