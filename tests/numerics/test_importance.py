import numpy as np
import pytest
from scipy.stats import genpareto

from crustbreak.numerics.importance import doubts, effective_share, pareto_shape


@pytest.mark.parametrize("shape", [0.1, 0.5, 1.0])
def test_finds_the_shape_that_a_reference_library_drew(shape: float) -> None:
    # Oracle: scipy.stats.genpareto. Its largest values have the same shape, by the theorem of
    # Pickands, Balkema and de Haan; the estimate from 3 sqrt(n) of them spreads by about 0.05.
    found = [
        pareto_shape(genpareto.rvs(shape, size=20_000, random_state=seed)) for seed in range(20)
    ]

    assert np.mean(found) == pytest.approx(shape, abs=0.06)


def test_weights_that_are_all_equal_have_no_tail() -> None:
    assert pareto_shape(np.ones(1000)) == float("-inf")
    assert pareto_shape(np.arange(10.0)) == float("-inf")


def test_the_scale_of_the_weights_does_not_matter() -> None:
    weights = np.random.default_rng(1).lognormal(size=1024)

    assert pareto_shape(weights * 1e-9) == pytest.approx(pareto_shape(weights), rel=1e-6)


def test_equal_weights_count_whole_and_a_single_one_as_one() -> None:
    assert effective_share(np.full(8, 0.3)) == pytest.approx(1)
    assert effective_share(np.array([1.0, 0, 0, 0])) == pytest.approx(0.25)


@pytest.mark.parametrize(("effective", "shape"), [(0.1, 0.2), (0.6, 0.9)])
def test_says_when_weights_are_too_uneven(effective: float, shape: float) -> None:
    assert f"{effective:.2f}" in doubts(effective, shape)[0]
    assert doubts(0.6, 0.2) == ()
