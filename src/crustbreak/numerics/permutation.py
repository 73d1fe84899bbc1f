"""Do two groups differ, by dealing the units out again in every way that chance could have.

Nothing is assumed of the values but that chance alone decided which unit was treated: then every
way to deal the labels was as likely as the one that came about.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import comb, prod

import numpy as np

from crustbreak.core.errors import Problem, Unacceptable
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
    Valid for one rater and one stratum upwards. In a way to deal in which a rater has rated units
    of one kind only, that rater adds nothing, and nothing in what came about either; were such
    raters left out of all other ways too, what is left out would hang on chance, and the level be
    exceeded.
    Source:   Fisher's and Pitman's randomisation test; the interval by inverting it, Ernst [S29].
    """
    generator = np.random.Generator(np.random.Philox(seed))
    dealt = [_deal(stratum, generator) for stratum in strata]
    kept = [each for each in dealt if each.is_open]
    raters = sum(each.raters for each in kept)
    if not raters:
        return None
    is_exact = all(each.is_exact for each in kept)
    is_exact = is_exact and prod(len(each.sums) for each in kept) <= MOST_WAYS
    sums, shifts = _sum_up(kept) if is_exact else _draw(kept, generator)
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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Dealt:
    """Ways to deal one stratum, the one that came about first.

    sums:      shape (ways,): the sum over raters of treated mean less control mean.
    shifts:    shape (ways,): the same of a shift of the really treated by one.
    raters:    who have really rated units of both kinds.
    is_open:   in some way a rater would have.
    is_exact:  all ways; else the first and `DRAWS` drawn.
    """

    sums: Numbers
    shifts: Numbers
    raters: int
    is_open: bool
    is_exact: bool


def _deal(stratum: Stratum, generator: np.random.Generator) -> _Dealt:
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
    is_exact = comb(len(treated), int(treated.sum())) <= MOST_WAYS
    chosen = _all_ways(treated) if is_exact else _some_ways(treated, generator)
    weight = rated.astype(float)
    filled = np.where(rated, values, 0.0)
    return _Dealt(
        sums=_differences(filled, weight, chosen).sum(axis=1),
        shifts=_differences(weight * treated, weight, chosen).sum(axis=1),
        raters=int(both.sum()),
        is_open=bool(treated.any() and not treated.all() and (rated.sum(axis=1) > 1).any()),
        is_exact=is_exact,
    )


def _all_ways(treated: Numbers) -> Numbers:
    """Return every way to choose as many units, 1 where chosen: ways by units."""
    real = tuple(int(unit) for unit in np.flatnonzero(treated))
    ways = [real, *(way for way in combinations(range(len(treated)), len(real)) if way != real)]
    chosen = np.zeros((len(ways), len(treated)))
    chosen[np.arange(len(ways))[:, None], np.array(ways, dtype=np.int64)] = 1.0
    return chosen


def _some_ways(treated: Numbers, generator: np.random.Generator) -> Numbers:
    drawn = generator.permuted(np.tile(treated, (DRAWS, 1)), axis=1)
    return np.concatenate([treated[None], drawn]).astype(float)


def _differences(values: Numbers, weight: Numbers, chosen: Numbers) -> Numbers:
    """Return treated mean less control mean: ways by raters; 0 where one of the two has none."""
    on, off = chosen @ weight.T, (1 - chosen) @ weight.T
    with np.errstate(invalid="ignore", divide="ignore"):
        found: Numbers = (chosen @ values.T) / on - ((1 - chosen) @ values.T) / off
    return np.where((on > 0) & (off > 0), found, 0.0)


def _sum_up(strata: Sequence[_Dealt]) -> tuple[Numbers, Numbers]:
    """Put every way of one stratum together with every way of the others."""
    sums, shifts = np.zeros(1), np.zeros(1)
    for each in strata:
        sums = (sums[:, None] + each.sums[None, :]).ravel()
        shifts = (shifts[:, None] + each.shifts[None, :]).ravel()
    return sums, shifts


def _draw(strata: Sequence[_Dealt], generator: np.random.Generator) -> tuple[Numbers, Numbers]:
    """Draw a way of each stratum, many times.

    What came about counts as one of those drawn, or a chance of nothing could come out.
    """
    sums, shifts = np.zeros(DRAWS + 1), np.zeros(DRAWS + 1)
    for each in strata:
        drawn = np.arange(1, DRAWS + 1)
        if each.is_exact:
            drawn = generator.integers(len(each.sums), size=DRAWS)
        pick = np.concatenate([[0], drawn])
        sums += each.sums[pick]
        shifts += each.shifts[pick]
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
