"""Do two groups differ, by dealing the units out again in every way that chance could have.

Nothing is assumed of the values but that chance alone decided which unit was treated: then every
way to deal the labels was as likely as the one that came about.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import comb, prod

import numpy as np

from crustbreak.footing.errors import Problem, Unacceptable
from crustbreak.numerics.ratings import Numbers

# More ways than this are drawn, not counted.
MOST_WAYS = 500_000
# So many are drawn then.
DRAWS = 50_000
# Sums of the same values in another order may differ by so much.
TIE = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stratum:
    """Units that were dealt out together.

    values:   shape (raters, units); NaN where a rater did not rate a unit.
    treated:  shape (units,), bool; the others are controls.
    """

    values: Numbers
    treated: Numbers


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """Treated less control, and how rarely chance alone would part them so far.

    mean:      mean over raters and strata of a rater's treated mean less control mean.
    chance:    share of all ways in which it is at least as large, 0 to 1; one-sided.
    ways:      how many ways there are, or were drawn.
    is_exact:  all of them were counted.
    low, high: a shift of the treated outside them is not compatible with the values, each side at
               the level asked for; None where so few ways can rule nothing out.
    """

    mean: float
    chance: float
    ways: int
    is_exact: bool
    low: float | None
    high: float | None


def compare_groups(strata: Sequence[Stratum], *, level: float, seed: int = 0) -> Difference | None:
    """Compare treated and control units by a permutation test, stratum by stratum.

    Question answered: do the treated lie higher than chance alone would put them, and by how much.
    Assumes that within a stratum any choice of as many units was as likely to be the treated ones;
    the units, and not the ratings, are what chance dealt out: several raters of one unit are dealt
    out with it. Not for strata in which treated units were chosen by hand.

    Args:     level: of each side of the interval, 0 to 0.5. seed: where there are too many ways to
              count, they are drawn from it.
    Returns:  the difference; None where no rater has rated units of both kinds in a stratum.
    Raises:   Unacceptable for shapes that do not fit.
    Valid for one rater and one stratum upwards. A rater who, in some way to deal, would have rated
    units of one kind only, has no part in that way; the mean is over those who rated both.
    Source:   Fisher's and Pitman's randomisation test; the interval by inverting it, Ernst [S29].
    """
    dealt = [_deal(stratum) for stratum in strata]
    kept = [each for each in dealt if each is not None]
    if not kept:
        return None
    ways = prod(len(sums) for sums, _, _ in kept)
    raters = sum(count for _, _, count in kept)
    if ways <= MOST_WAYS:
        sums, shifts = _sum_up([(each, shift) for each, shift, _ in kept])
        is_exact = True
    else:
        generator = np.random.Generator(np.random.Philox(seed))
        picks = [generator.integers(len(each), size=DRAWS) for each, _, _ in kept]
        pairs = zip(kept, picks, strict=True)
        drawn = [(each[pick], shift[pick]) for (each, shift, _), pick in pairs]
        # What came about counts as one of those drawn, or a chance of nothing could come out.
        sums = np.concatenate([[sum(each[0] for each, _, _ in kept)], sum(d[0] for d in drawn)])
        shifts = np.concatenate([[sum(s[0] for _, s, _ in kept)], sum(d[1] for d in drawn)])
        is_exact = False
    means, shares = sums / raters, shifts / raters
    mean = float(means[0])
    low, high = _limits(means, shares, level)
    return Difference(
        mean=mean,
        chance=float(np.mean(means >= mean - TIE)),
        ways=len(means),
        is_exact=is_exact,
        low=low,
        high=high,
    )


def _deal(stratum: Stratum) -> tuple[Numbers, Numbers, int] | None:
    """Give, for every way to deal, the sum over raters of the difference, and of how much of a
    shift of the really treated it would show; the way that came about first."""
    values, treated = stratum.values, np.asarray(stratum.treated, dtype=bool)
    if values.ndim != 2 or treated.shape != (values.shape[1],):
        remedy = "Give a row for each rater, and a label for each unit."
        problem = Problem(
            where="stratum",
            rule="values of raters by units, and as many labels as units",
            found=f"{values.shape} and {treated.shape}",
            remedy=remedy,
        )
        raise Unacceptable("These groups cannot be compared.", hint=remedy, problems=(problem,))
    rated = ~np.isnan(values)
    both = (rated & treated).any(axis=1) & (rated & ~treated).any(axis=1)
    if not both.any():
        return None
    units, size = len(treated), int(treated.sum())
    ways = [tuple(int(unit) for unit in np.flatnonzero(treated))]
    if comb(units, size) <= MOST_WAYS:
        ways += [way for way in combinations(range(units), size) if way != ways[0]]
    chosen = np.zeros((len(ways), units))
    chosen[np.arange(len(ways))[:, None], np.array(ways)] = 1.0
    # All raters, and not only those with both kinds as they really were dealt: who has a part must
    # not follow from the way that came about.
    weight = rated.astype(float)
    filled = np.where(rated, values, 0.0)
    shifted = weight * treated
    return (
        _differences(filled, weight, chosen).sum(axis=1),
        _differences(shifted, weight, chosen).sum(axis=1),
        int(both.sum()),
    )


def _differences(values: Numbers, weight: Numbers, chosen: Numbers) -> Numbers:
    """Give treated mean less control mean: ways by raters; 0 where one of the two has none."""
    on, off = chosen @ weight.T, (1 - chosen) @ weight.T
    with np.errstate(invalid="ignore", divide="ignore"):
        found: Numbers = (chosen @ values.T) / on - ((1 - chosen) @ values.T) / off
    return np.where((on > 0) & (off > 0), found, 0.0)


def _sum_up(strata: Sequence[tuple[Numbers, Numbers]]) -> tuple[Numbers, Numbers]:
    """Put every way of one stratum together with every way of the others."""
    sums, shifts = np.zeros(1), np.zeros(1)
    for each, shift in strata:
        sums = (sums[:, None] + each[None, :]).ravel()
        shifts = (shifts[:, None] + shift[None, :]).ravel()
    return sums, shifts


def _limits(means: Numbers, shares: Numbers, level: float) -> tuple[float | None, float | None]:
    """Invert the test: take every shift off the treated that it would not find.

    With a shift taken off, the difference of a way falls by its share of it, and of the way that
    came about by the whole; so each way has one shift at which the two are alike.
    """
    ways = len(means)
    # The way that came about is always among those at least as large.
    spare = int(np.floor(level * ways + TIE)) - 1
    if spare < 0:
        return None, None
    others = 1 - shares > TIE
    alike = np.sort((means[0] - means[others]) / (1 - shares[others]))
    # Ways in which all stays as it was are always as large, whatever the shift.
    spare -= int(ways - others.sum()) - 1
    if spare < 0 or spare >= len(alike):
        return None, None
    return float(alike[spare]), float(alike[len(alike) - 1 - spare])
