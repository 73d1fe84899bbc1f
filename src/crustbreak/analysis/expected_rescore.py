"""What an old score lets one expect of another tasting: less of the luck that it was picked for."""

from dataclasses import dataclass

import numpy as np

from crustbreak.domain.records.physicals import OldScore
from crustbreak.domain.sheets.priors import Priors

# 90 in 100 of a normal distribution lie within so many deviations.
NINE_IN_TEN = 1.645


@dataclass(frozen=True, slots=True, kw_only=True)
class Again:
    """What another tasting by as many, at one table, is expected to give, points.

    low, high:  hold it with 90 in 100.
    drop:       the old score less what is expected; no change in the coffee is needed for it.
    usual:      what such offers score on average, as it was taken.
    assumed:    nobody said so: it is the priors' mean, and its doubt is in the answer.
    """

    expected: float
    low: float
    high: float
    drop: float
    usual: float
    assumed: bool


def expect_again(old: OldScore, priors: Priors) -> Again:
    """Return in words what a coffee of an old score is expected to score when it is tasted again.

    Question answered: how much lower will it come out although nothing has changed. Scores regress
    to the mean of what they were picked from: the share that comes back is the variance from coffee
    to coffee over the variance of such a score. Picked or not, that is the same for one coffee.
    Where nobody said what such offers score, their mean is as doubtful as the priors have it: much
    of a high score may then be high offers, and little of it is expected to be lost.
    Assumes the medians of the priors, coffees as such offers are, and tasters of the same leaning.
    Never to be set against a comparison side by side: that one has no memory.

    Returns:  points, to four decimals.
    Source:   regression to the mean, Bland and Altman [S34].
    """
    usual, assumed = (priors.mean[0], True) if old.usual is None else (old.usual, False)
    coffee, roast, table, look = (
        each[0] ** 2 for each in (priors.coffee, priors.roast, priors.table, priors.look)
    )
    coffee += priors.mean[1] ** 2 if assumed else 0.0
    error = (roast + table) / old.tables + look / (old.tasters * old.tables)
    share = coffee / (coffee + error)
    expected = usual + share * (old.score - usual)
    doubt = NINE_IN_TEN * np.sqrt(coffee * (1 - share) + roast + table + look / old.tasters)
    return Again(
        expected=round(expected, 4),
        low=round(float(expected - doubt), 4),
        high=round(float(expected + doubt), 4),
        drop=round(old.score - expected, 4),
        usual=usual,
        assumed=assumed,
    )
