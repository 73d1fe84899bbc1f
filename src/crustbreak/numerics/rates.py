"""How many of a kind are faulty, when a fault is not always noticed."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import betaln, xlog1py, xlogy
from scipy.stats import beta

from crustbreak.numerics.ratings import Numbers

RATES = 400
DETECTIONS = 80


@dataclass(frozen=True, slots=True, kw_only=True)
class RatePriors:
    """What is assumed before the first unit, as (a, b) of Beta distributions.

    rate:       share of faulty units.
    detection:  how often a judge notices a faulty unit.
    """

    rate: tuple[float, float]
    detection: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultRate:
    """What is known of a rate.

    grid:     shape (k, 2): a rate and a chance that one judge notices, both 0 to 1.
    weights:  shape (k,), sum 1.
    mean:     of the rate.
    upper:    the rate is below it with the probability asked for.
    """

    grid: Numbers
    weights: Numbers
    mean: float
    upper: float


def fault_rate(
    noticed: Sequence[tuple[int, int]], priors: RatePriors, *, certainty: float = 0.95
) -> FaultRate:
    """Return the posterior of the share of faulty units.

    Question answered: how many are faulty, when each unit was judged by some and a fault is not
    always noticed. Assumes that nobody notices a fault where there is none, and that judges
    notice as often as each other and independently.

    Args:     noticed: for each unit, how many noticed a fault, of how many judges.
              certainty: of the upper limit.
    Returns:  grid, weights, mean and upper limit.
    Valid for no unit upwards; without any, it is the prior.
    Source:   Bayes' rule on a grid; checked against the closed form of the Beta posterior.
    """
    # On the square root's arc the prior of a rare fault is smooth.
    arc = (np.arange(RATES) + 0.5) / RATES * (np.pi / 2)
    rate = np.sin(arc) ** 2
    detection = beta.ppf((np.arange(DETECTIONS) + 0.5) / DETECTIONS, *priors.detection)
    a, b = priors.rate
    log_prior = xlogy(a - 0.5, rate) + xlog1py(b - 0.5, -rate) - betaln(a, b)
    log_weights = np.broadcast_to(log_prior[:, None], (RATES, DETECTIONS)).copy()
    for (found, judges), count in _counted(noticed):
        seen = detection**found * (1 - detection) ** (judges - found)
        likelihood = rate[:, None] * seen + (found == 0) * (1 - rate[:, None])
        log_weights += count * np.log(likelihood)
    weights = np.exp(log_weights - log_weights.max())
    weights /= weights.sum()
    by_rate = weights.sum(axis=1)
    crossed = min(int(np.searchsorted(np.cumsum(by_rate), certainty)), RATES - 1)
    return FaultRate(
        grid=np.stack(np.meshgrid(rate, detection, indexing="ij"), axis=-1).reshape(-1, 2),
        weights=weights.ravel(),
        mean=float(by_rate @ rate),
        upper=float(np.sin((crossed + 1) / RATES * (np.pi / 2)) ** 2),
    )


def exact_upper(faulty: int, units: int, *, certainty: float = 0.95) -> float:
    """Return the largest share of faulty units that still goes with what was found.

    Question answered: at most how many are faulty, for a reader who shares no prior.
    Assumes that every fault is noticed.

    Args:     faulty: 0 to units.
    Returns:  one-sided upper limit, 0 to 1; 1 when there is no unit.
    Source:   Clopper and Pearson [S14]; for none found it is 1 - (1 - certainty)^(1/units).

    >>> round(exact_upper(0, 5), 2)
    0.45
    """
    if faulty >= units:
        return 1.0
    return float(beta.ppf(certainty, faulty + 1, units - faulty))


def _counted(noticed: Sequence[tuple[int, int]]) -> list[tuple[tuple[int, int], int]]:
    judged = [each for each in noticed if each[1]]
    return [(each, judged.count(each)) for each in sorted(set(judged))]
