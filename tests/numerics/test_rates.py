import numpy as np
import pytest
from scipy.stats import beta, binomtest

from crustbreak.numerics.rates import FaultRate, RatePriors, exact_upper, fault_rate

SURE = RatePriors(rate=(0.5, 9.5), detection=(1e7, 1e-3))


@pytest.mark.parametrize(("faulty", "units"), [(0, 5), (1, 5), (3, 40), (5, 5), (0, 0)])
def test_with_sure_judges_it_is_the_textbook_posterior(faulty: int, units: int) -> None:
    # Oracle: Beta(a + faulty, b + sound), the conjugate posterior, by scipy.stats.beta.
    expected = beta(0.5 + faulty, 9.5 + units - faulty)

    found = fault_rate([(1, 1)] * faulty + [(0, 1)] * (units - faulty), SURE)

    assert isinstance(found, FaultRate)
    assert found.mean == pytest.approx(expected.mean(), abs=2e-4)
    assert found.upper == pytest.approx(expected.ppf(0.95), abs=4e-3)
    assert found.weights.sum() == pytest.approx(1)


@pytest.mark.parametrize(("units", "limit"), [(5, 0.45), (10, 0.26), (20, 0.14), (40, 0.072)])
def test_none_of_a_few_still_allows_many(units: int, limit: float) -> None:
    # 1 - 0.05^(1/n), by hand; the figures as common practice rounds them, no source.
    assert exact_upper(0, units) == pytest.approx(limit, abs=0.005)


@pytest.mark.parametrize(("faulty", "units"), [(1, 5), (3, 40), (7, 12)])
def test_the_exact_limit_is_that_of_a_reference_library(faulty: int, units: int) -> None:
    # Oracle: scipy.stats.binomtest, method "exact"; one-sided 95 % is the end of two-sided 90 %.
    interval = binomtest(faulty, units).proportion_ci(0.90, method="exact")

    assert exact_upper(faulty, units) == pytest.approx(interval.high, abs=1e-9)


def test_all_faulty_or_none_judged_excludes_nothing() -> None:
    assert exact_upper(5, 5) == exact_upper(0, 0) == 1.0


def test_judges_who_may_miss_a_fault_leave_more_room_for_it() -> None:
    careful = RatePriors(rate=(0.5, 9.5), detection=(8, 2))

    unsure, sure = (fault_rate([(0, 1)] * 20, priors) for priors in (careful, SURE))
    three = fault_rate([(0, 3)] * 20, careful)

    assert unsure.upper > three.upper > sure.upper * 0.99
    assert unsure.mean > sure.mean


def test_a_fault_that_one_of_three_noticed_is_one() -> None:
    careful = RatePriors(rate=(0.5, 9.5), detection=(8, 2))

    one_noticed, none = (
        fault_rate([(1, 3)] + [(0, 3)] * 4, careful),
        fault_rate([(0, 3)] * 5, careful),
    )

    # About (0.5 + 1) / (10 + 5), by hand, were each fault noticed.
    assert one_noticed.mean == pytest.approx(0.1, abs=0.02)
    assert none.mean < 0.05


def test_the_grid_holds_what_it_says() -> None:
    found = fault_rate([(0, 2)] * 5, RatePriors(rate=(0.5, 9.5), detection=(8, 2)))

    assert found.grid.shape == (len(found.weights), 2)
    assert found.weights @ found.grid[:, 0] == pytest.approx(found.mean)
    # A judge notices more often than two in three; five quiet bowls say little about that.
    assert found.weights @ found.grid[:, 1] == pytest.approx(0.8, abs=0.02)
    assert np.all((found.grid > 0) & (found.grid < 1))
