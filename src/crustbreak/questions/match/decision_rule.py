"""What is said of two coffees by the rule, and how often it will be: before a table and after it.

First "same" where they lie within d surely enough; then "different" where chance would part them
so far too rarely; else it cannot be told. Each look at one answer takes half of the chance of a
false word that is left.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
from scipy.stats import norm
from scipy.stats import t as student

from crustbreak.numerics.permutation import TIE
from crustbreak.numerics.ratings import Numbers
from crustbreak.questions.match.definition import (
    BETTER,
    CANNOT_TELL,
    DIFFERENT,
    SAME,
    WORSE,
    level_of,
)

Word = str
# One way is named where at least so many marks went it, and so many times as many as went the
# other. Our judgement.
LEAST_MARKS, ONE_WAY = 2, 2

# What a table is forecast by: so many tables drawn, from this seed.
TABLES, SEED = 4_000, 20_310_304
# Where a blind control lies from the open bowl by the mark of an honest taster: our judgement.
BASELINE = 1.0
# A difference of so many points is one that nobody would miss: what a plan is told for.
CLEAR = 2.0
# "Found" means so often.
OFTEN = 0.8
# What is forecast of more bowls looks so many sittings ahead.
MOST_SITTINGS = 4
# How many marks the guess about the spread is worth beside those of the table.
GUESS_WORTH = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Spreads:
    """Standard deviations, in points.

    own:      one taster's marks of one and the same bowl.
    bowl:     from one bowl of a coffee to the next, for all who taste it.
    private:  a taster's own taste of a coffee.
    """

    own: float
    bowl: float
    private: float

    def of_gap(self, *, bowls: int, tasters: int, sittings: int = 1) -> float:
        """Return the deviation of a difference of two coffees, of so many bowls each in a sitting.

        More bowls do not make the same tasters another panel: their private taste stays. Of one
        taster alone it is part of the answer.
        """
        each = self.bowl**2 + self.own**2 / tasters
        stays = self.private**2 / tasters if tasters > 1 else 0.0
        return float(np.sqrt(2 * each / (bowls * sittings) + 2 * stays))


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise:
    """What a table will say, as chances 0 to 1.

    found:     of "different" where the coffees lie `CLEAR` points apart.
    same:      of "same" where nothing parts them.
    smallest:  difference that is found `OFTEN`, points; None within the sheet.
    by_luck:   bowls part without a slip by luck alone in one of so many ways.
    """

    found: float
    same: float
    smallest: float | None
    by_luck: int


def decide_word(
    *, within_chance: float | None, chance: float | None, level: float, way: Word
) -> Word:
    """Return the word of the rule.

    Args:  within_chance: that the difference lies within d; None where it is not known. chance: of
           parting so far by luck, one-sided. way: of the words that say a difference.
    """
    if within_chance is not None and within_chance >= 1 - level - TIE:
        return SAME
    if chance is not None and chance <= level + TIE:
        return way
    return CANNOT_TELL


def way_of(better: int, worse: int) -> Word:
    """Name which way coffees differ, by how many marks went it.

    >>> way_of(0, 3), way_of(2, 3), way_of(0, 1)
    ('different, worse', 'different', 'different')
    """
    if worse >= max(LEAST_MARKS, ONE_WAY * better):
        return WORSE
    if better >= max(LEAST_MARKS, ONE_WAY * worse):
        return BETTER
    return DIFFERENT


def forecast_text(
    *,
    bowls: int,
    tasters: int,
    within: float,
    level: float,
    spreads: Spreads,
    look: int = 1,
) -> Promise:
    """Return in words how often a look will say what, by the rule and on the sheet's half points.

    Question answered: what can so many bowls tell. Assumes that marks spread normally about where
    the bowls lie, on a scale that ends at 0 and 5, and a blind control at `BASELINE`; other tables
    of the lab are as spread as this one.

    Args:  bowls: of each coffee. level: chance of a false word that the look may take. look: from
           1; at a later one all sittings so far count, taken as large as this one, and whatever
           they said.
    """
    draws = _draw_tables(bowls, tasters, spreads, look)
    found = _words_of(draws, CLEAR, within=within, level=level, spreads=spreads)
    same = _words_of(draws, 0.0, within=within, level=level, spreads=spreads)
    steps = np.arange(0.5, 4.25, 0.25)
    often = (
        float(gap)
        for gap in steps
        if np.mean(_words_of(draws, gap, within=within, level=level, spreads=spreads)[1]) >= OFTEN
    )
    return Promise(
        found=float(np.mean(found[1])),
        same=float(np.mean(same[0])),
        smallest=next(often, None),
        by_luck=len(_ways(bowls)),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Tables:
    """Noise of many answers: shape (answers, sittings, tasters, 2 x bowls), the compared last.

    private:  shape (answers, 1, tasters, 1): it is the same at every sitting.
    """

    noise: Numbers
    private: Numbers


def _draw_tables(bowls: int, tasters: int, spreads: Spreads, sittings: int) -> _Tables:
    generator = np.random.Generator(np.random.Philox(SEED))
    own = generator.standard_normal((TABLES, sittings, tasters, 2 * bowls)) * spreads.own
    bowl = generator.standard_normal((TABLES, sittings, 1, 2 * bowls)) * spreads.bowl
    private = generator.standard_normal((TABLES, 1, tasters, 1)) * spreads.private * np.sqrt(2)
    return _Tables(noise=own + bowl, private=private if tasters > 1 else private * 0)


def _words_of(
    draws: _Tables, gap: float, *, within: float, level: float, spreads: Spreads
) -> tuple[Numbers, Numbers]:
    """Return which tables say "same", and which "different"."""
    _, sittings, tasters, units = draws.noise.shape
    bowls = units // 2
    is_new = np.arange(units) >= bowls
    latent = BASELINE + draws.noise + is_new * (gap + draws.private)
    marks = np.clip(np.round(2 * latent) / 2, 0, 5)
    of_bowls = marks.mean(axis=2)
    mean = (of_bowls[..., bowls:].mean(axis=2) - of_bowls[..., :bowls].mean(axis=2)).mean(axis=1)
    if sittings == 1:
        apart = of_bowls[:, 0] @ (2 * _ways(bowls) - 1).T / bowls
        by_chance = np.mean(apart >= apart[:, :1] - TIE, axis=1)
    else:
        # Of several sittings the sum over all ways to deal is nearly normal, about nought.
        dealt = 2 * of_bowls.var(axis=2, ddof=1).sum(axis=1) / bowls / sittings**2
        by_chance = norm.sf(mean / np.sqrt(np.maximum(dealt, TIE)))
    inner = marks - np.where(is_new, _mean(marks[..., bowls:]), _mean(marks[..., :bowls]))
    freedom = sittings * tasters * (units - 2)
    guess = spreads.own**2 + spreads.bowl**2
    spread = ((inner**2).sum(axis=(1, 2, 3)) + GUESS_WORTH * guess) / (freedom + GUESS_WORTH)
    deviation = spreads.of_gap(bowls=bowls, tasters=tasters, sittings=sittings)
    scaled = np.sqrt(spread / guess) * deviation
    # Between the normal curve and Student's: the engine knows more of the spread than these marks
    # do. So many degrees of freedom are what whole tables come to, as measured.
    bound = student.isf(level, 2 * (freedom + GUESS_WORTH))
    same = mean + bound * scaled <= within
    return same, ~same & (by_chance <= level + TIE)


def _mean(marks: Numbers) -> Numbers:
    mean: Numbers = marks.mean(axis=-1, keepdims=True)
    return mean


def _ways(bowls: int) -> Numbers:
    """Return every way in which so many of twice as many can be chosen; what came about first."""
    chosen = list(combinations(range(2 * bowls), bowls))[::-1]
    ways = np.zeros((len(chosen), 2 * bowls))
    ways[np.arange(len(chosen))[:, None], np.array(chosen)] = 1.0
    return ways


def sittings_to_settle(
    *,
    gap: float,
    spreads: Spreads,
    bowls: Sequence[int],
    tasters: int,
    within: float,
    certainty: float,
) -> int | None:
    """Return how many more sittings like the last settle it often enough, if the gap is the truth.

    It may be settled either way, by "same" or by "different", and at each look on the way there:
    whoever pours one sitting after the other stops as soon as it is. Normal throughout, from one
    seed; checked against whole tables.

    Args:     gap: what is taken for the truth, points. bowls: of each coffee, of every sitting so
              far, at least one.
    Returns:  1 to `MOST_SITTINGS`; None where not even those do.
    """
    looks, last, so_far = len(bowls), bowls[-1], sum(bowls)
    # What is known already stays, and so do the tasters' own tastes: still open is what the new
    # bowls add.
    new = replace(spreads, private=0.0).of_gap(bowls=last, tasters=tasters)
    generator = np.random.Generator(np.random.Philox(SEED))
    added = new * generator.standard_normal((TABLES, MOST_SITTINGS)).cumsum(axis=1)
    is_open = np.ones(TABLES, dtype=bool)
    for more in range(1, MOST_SITTINGS + 1):
        bound = norm.isf(level_of(certainty, looks + more))
        in_all = so_far + more * last
        found = gap + last * added[:, more - 1] / in_all
        deviation = spreads.of_gap(bowls=in_all, tasters=tasters)
        is_same = found + bound * deviation <= within
        # Dealing the bowls out mixes the gap itself into their variance.
        own_ways = found**2 / ((2 * last - 1) * (looks + more))
        parted = np.sqrt(deviation**2 + own_ways)
        is_open &= ~is_same & (found < bound * parted)
        if 1 - np.mean(is_open) >= OFTEN:
            return more
    return None
