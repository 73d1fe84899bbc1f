"""What a table can tell, said before it is set.

Two coffees of one table are compared taster by taster, so the tasters' offsets and the table's
own cancel. What remains is each look's error, and the tasters' own tastes, which a second look
by the same people does not shrink.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import brentq
from scipy.special import ndtr
from scipy.stats import studentized_range

from crustbreak.analysis.dataset import Dataset
from crustbreak.analysis.panel import draw_panel, rating_priors
from crustbreak.domain.sheets.priors import Priors
from crustbreak.numerics.posterior import draw_posterior
from crustbreak.numerics.ratings import Numbers, make_ratings

BELIEVED = 0.95
FOUND = 0.80
# A gap beyond this is no question on any sheet of ours.
LARGEST_GAP = 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RatingError:
    """The error of one look as far as it is known: draws, points.

    private:  a taster's own taste of one coffee.
    own:      from look to look of one taster, all but the bowls.
    cup:      from bowl to bowl.
    tables:   how many tables it is known from.
    """

    private: Numbers
    own: Numbers
    cup: Numbers
    tables: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DetectableDifference:
    """How far two coffees have to lie apart on one table, points.

    worth_believing:  seen by luck alone in 1 of 20 pairs of equal coffees.
    found:            a true gap of this size is seen as one worth believing 8 times in 10.
    best:             the same as the first, for the best of all coffees over any other.
    known_from:       how many of the lab's tables this is known from.
    """

    tasters: int
    worth_believing: float
    found: float
    best: float
    known_from: int


def rating_error(history: Sequence[Dataset], priors: Priors) -> RatingError:
    """Return the lab's own error from its tables, or what is assumed before the first."""
    if history:
        before = replace(history[0], history=tuple(history[1:]))
        sds = draw_panel(before, priors).posterior.sds
    else:
        nothing = make_ratings([], {"item": [], "rater": []}, stream=[0])
        sds = draw_posterior(nothing, rating_priors(priors), seed=1).sds
    return RatingError(private=sds["private"], own=sds["own"], cup=sds["unit"], tables=len(history))


def detectable_difference(
    error: RatingError, *, tasters: int, cups: int, coffees: int, looks: int = 1
) -> DetectableDifference:
    """Return the gaps that a table of this size can tell.

    Question answered: what is this table good for. Assumes that everybody tastes everything.

    Args:     tasters, cups, coffees, looks: at least 1, at least 2 coffees; ratings of each coffee
              by each taster, cups under one code.
    Source:   the normal distribution, averaged over the doubt about the error; for the best of
              several the studentized range.
    """
    each = (error.own**2 + error.cup**2 / cups) / (tasters * looks)
    sd = np.sqrt(2 * (error.private**2 / tasters + each))
    believed = _solve(lambda gap: float((1 - 2 * ndtr(-gap / sd)).mean()) - BELIEVED)
    found = _solve(lambda gap: float(ndtr((gap - believed) / sd).mean()) - FOUND)
    pair, best = (float(studentized_range.ppf(BELIEVED, n, np.inf)) for n in (2, coffees))
    return DetectableDifference(
        tasters=tasters,
        worth_believing=believed,
        found=found,
        best=believed * best / pair,
        known_from=error.tables,
    )


def _solve(excess: Callable[[float], float]) -> float:
    return float(brentq(excess, 0.0, LARGEST_GAP, xtol=1e-6))
