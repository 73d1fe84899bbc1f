"""The likelihood of standard deviations, and draws of the effects given them.

Each item's own effects (item, batches, private tastes, errors) are taken out within the item;
what is left for all together is small: means of streams, raters and how they drifted, sessions.
Items that are rated in the same pattern share their matrices, so that a table of ten costs hardly
more than one.
"""

from collections import defaultdict
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from scipy.linalg import solve_triangular
from scipy.special import expit

from crustbreak.numerics.long_item import LONG, LongItem, add_up, solve_long
from crustbreak.numerics.ratings import Indices, Numbers, Ratings

NAMES = ("item", "rater", "look", "session", "batch", "unit", "drift")
# The standard deviations and the share of private taste.
SPREADS = len(NAMES) + 1

# How many numbers are gathered at a time: a few MB.
MOST_NUMBERS = 1_000_000
# So many points at a time stay in a processor's nearest memory.
AT_ONCE = 128
# More than any pull squared comes to.
FAR = 1e300


@dataclass(frozen=True, slots=True, kw_only=True)
class RatingPriors:
    """What is assumed before the first rating, in the ratings' unit.

    mean:     (mean, standard deviation) of each stream's mean, Gaussian.
    item, batch, rater, session, unit:  (median, log-sd) of a lognormal standard deviation;
              `unit` is from one unit to the next of the same batch.
    drift:    the same, of a rater's step from one period to the next.
    look:     the same, of private taste and error together.
    share:    (mean, sd) of the logit of private taste's share of that variance.
    """

    mean: tuple[float, float]
    item: tuple[float, float]
    batch: tuple[float, float]
    rater: tuple[float, float]
    session: tuple[float, float]
    look: tuple[float, float]
    unit: tuple[float, float]
    drift: tuple[float, float]
    share: tuple[float, float]

    def spreads(self, points: Numbers) -> dict[str, Numbers]:
        """Return the standard deviations at points in units of the prior; shape (k, 8) to (k,)."""
        return {
            name: getattr(self, name)[0] * np.exp(getattr(self, name)[1] * points[:, nth])
            for nth, name in enumerate(NAMES)
        }


@dataclass(frozen=True, slots=True)
class _Pattern:
    """Items whose rows have the same pattern: n items of m rows.

    items:   shape (n,).
    same_batch, same_rater:  shape (m, m), 1 where two rows share it.
    units:   shape (m,).
    values:  shape (n, m), less the prior mean.
    design:  shape (n, m, g): which common effects a row has.
    long:    the sums of each item, where there are many rows; else none.
    crossed, pulled:  sums over many items of few rows, the same at every point; else None.
    """

    items: Indices
    same_batch: Numbers
    same_rater: Numbers
    units: Numbers
    values: Numbers
    design: Numbers
    long: tuple[LongItem, ...] = ()
    crossed: Numbers | None = None
    pulled: Numbers | None = None


@dataclass(frozen=True, slots=True)
class _Step:
    """How far a rater went between two periods in which there are ratings, or to the present."""

    rater: int
    before: int
    since: int


@dataclass(frozen=True, slots=True)
class _Solved:
    """The common effects at k points: precision, and precision times mean."""

    precision: Numbers
    pull: Numbers


class Model:
    """The ratings, ordered for the arithmetic."""

    def __init__(self, ratings: Ratings, priors: RatingPriors) -> None:
        self._priors = priors
        self._ratings = ratings
        self._steps = _find_steps(ratings)
        self._patterns = _find_patterns(ratings, self._steps, priors.mean[0])
        self._count = ratings.streams + ratings.raters + ratings.sessions + len(self._steps)
        # Records that were kept of a short history keep to their sums, to the last digit.
        self._is_long = any(pattern.long for pattern in self._patterns)

    def log_density(self, points: Numbers) -> Numbers:
        """Return the log posterior density at points, shape (k, 8) to (k,), up to a constant."""
        if self._is_long and len(points) > AT_ONCE:
            parts = range(0, len(points), AT_ONCE)
            return np.concatenate([self._density(points[at : at + AT_ONCE]) for at in parts])
        return self._density(points)

    def _density(self, points: Numbers) -> Numbers:
        variances = self._variances(points)
        solved, fit = self._solve(variances)
        prior = self._common_precision(variances)
        sizes, settled = (_settle_long if self._is_long else _settle)(solved)
        log_size = 2 * np.log(sizes).sum(axis=1) - np.log(prior).sum(axis=1)
        fit += log_size - (settled**2).sum(axis=1) + (points**2).sum(axis=1)
        density: Numbers = -0.5 * fit
        return density

    def draw(
        self, points: Numbers, chosen: Indices, wanted: Indices, generator: np.random.Generator
    ) -> tuple[Numbers, Numbers]:
        """Draw items and rater offsets given the standard deviations.

        Args:     points: shape (k, 8). chosen: shape (d,), which point each draw is made at.
                  wanted: shape (w,), items.
        Returns:  shapes (d, w) and (d, raters).
        """
        variances = self._variances(points)
        solved, _ = self._solve(variances)
        draw = _draw_common_long if self._is_long else _draw_common
        common = draw(solved, chosen, generator)
        streams = common[:, : self._ratings.streams] + self._priors.mean[0]
        values = streams[:, self._ratings.stream[wanted]]
        noise = generator.standard_normal(values.shape)
        sd = np.sqrt(variances["item"])[chosen]
        # An item without a rating is known by its prior alone.
        effects = sd[:, None] * noise
        for pattern in self._patterns:
            self._draw_items(pattern, variances, (chosen, wanted), (common, noise, effects))
        first = self._ratings.streams
        return values + effects, common[:, first : first + self._ratings.raters]

    def doubt(self, point: Numbers, wanted: Indices, mix: Numbers) -> Numbers:
        """Return the standard deviation of each wanted item's value, the spreads being known.

        It depends on who rated what and not on the ratings.

        Args:     point: shape (8,). wanted: shape (w,). mix: shape (raters,), whose offsets are
                  part of the value: stream + item + mix @ offsets.
        Returns:  shape (w,).
        """
        variances = self._variances(point[None, :])
        solved, _ = self._solve(variances)
        covariance = np.linalg.inv(solved.precision[0])
        streams, raters = self._ratings.streams, self._ratings.raters
        pull = np.zeros((len(wanted), self._count))
        pull[np.arange(len(wanted)), self._ratings.stream[wanted]] = 1
        pull[:, streams : streams + raters] = mix
        left = np.full(len(wanted), variances["item"][0])
        for pattern in self._patterns:
            columns, rows = np.nonzero(wanted[:, None] == pattern.items)
            if not columns.size:
                continue
            gain = np.linalg.inv(_within(pattern, variances))[0].sum(axis=0) * variances["item"][0]
            pull[columns] -= np.einsum("m,nmg->ng", gain, pattern.design[rows])
            left[columns] *= 1 - gain.sum()
        doubt: Numbers = np.sqrt(np.einsum("wg,gh,wh->w", pull, covariance, pull) + left)
        return doubt

    def _draw_items(
        self,
        pattern: _Pattern,
        variances: dict[str, Numbers],
        which: tuple[Indices, Indices],
        drawn: tuple[Numbers, Numbers, Numbers],
    ) -> None:
        (chosen, wanted), (common, noise, effects) = which, drawn
        columns, rows = np.nonzero(wanted[:, None] == pattern.items)
        if not columns.size:
            return
        gain = np.linalg.inv(_within(pattern, variances)).sum(axis=1)
        gain *= variances["item"][:, None]
        left = variances["item"] * (1 - gain.sum(axis=1))
        residual = pattern.values[rows] - np.tensordot(common, pattern.design[rows], axes=(1, 2))
        mean = np.einsum("dm,dnm->dn", gain[chosen], residual)
        sd = np.sqrt(np.maximum(left, 0.0))[chosen]
        effects[:, columns] = mean + sd[:, None] * noise[:, columns]

    def _variances(self, points: Numbers) -> dict[str, Numbers]:
        variances = {name: sd**2 for name, sd in self._priors.spreads(points).items()}
        share = expit(self._priors.share[0] + self._priors.share[1] * points[:, -1])
        variances["private"] = variances["look"] * share
        variances["own"] = variances["look"] * (1 - share)
        return variances

    def _common_precision(self, variances: dict[str, Numbers]) -> Numbers:
        count = len(variances["item"])
        counts = (self._ratings.streams, self._ratings.raters, self._ratings.sessions)
        each = (np.full(count, self._priors.mean[1] ** 2), variances["rater"], variances["session"])
        columns = [
            np.repeat(1 / part[:, None], n, axis=1) for part, n in zip(each, counts, strict=True)
        ]
        lengths = np.array([step.before - step.since for step in self._steps], dtype=np.float64)
        columns.append(1 / (variances["drift"][:, None] * lengths))
        return np.concatenate(columns, axis=1)

    def _solve(self, variances: dict[str, Numbers]) -> tuple[_Solved, Numbers]:
        """Return the common effects, and the size and fit of the rows without them."""
        points = len(variances["item"])
        precision = np.zeros((points, self._count, self._count))
        np.einsum("kii->ki", precision)[:] = self._common_precision(variances)
        pull, fit = np.zeros((points, self._count)), np.zeros(points)
        for pattern in self._patterns:
            for item in pattern.long:
                added = solve_long(item, variances)
                precision += added[0]
                pull += added[1]
                fit += added[2]
            if pattern.long:
                continue
            within = _within(pattern, variances)
            inverse: Numbers = np.asarray(np.linalg.inv(within), dtype=np.float64)
            fit += len(pattern.items) * np.linalg.slogdet(within)[1]
            _add(pattern, inverse, precision, pull)
            fit += inverse.reshape(points, -1) @ (pattern.values.T @ pattern.values).ravel()
        return _Solved(precision, pull), fit


def make_model(ratings: Ratings, priors: RatingPriors) -> Model:
    """Order ratings for the arithmetic."""
    return Model(ratings, priors)


def _within(pattern: _Pattern, variances: dict[str, Numbers]) -> Numbers:
    """Return the covariance of the rows of one item at each point, shape (k, m, m)."""
    covariance: Numbers = (
        variances["item"][:, None, None]
        + variances["batch"][:, None, None] * pattern.same_batch
        + variances["private"][:, None, None] * pattern.same_rater
    )
    error = variances["own"][:, None] + variances["unit"][:, None] / pattern.units
    np.einsum("kii->ki", covariance)[:] += error
    return covariance


def _add(pattern: _Pattern, inverse: Numbers, precision: Numbers, pull: Numbers) -> None:
    if pattern.crossed is not None and pattern.pulled is not None:
        flat = inverse.reshape(len(inverse), -1)
        precision += (flat @ pattern.crossed).reshape(precision.shape)
        pull += flat @ pattern.pulled
        return
    for design, values in zip(pattern.design, pattern.values, strict=True):
        weighed = design.T @ inverse
        precision += weighed @ design
        pull += weighed @ values


def _settle(solved: _Solved) -> tuple[Numbers, Numbers]:
    """Return the diagonal of each precision's root, and the root solved for the pull."""
    root = np.linalg.cholesky(solved.precision)
    settled = np.linalg.solve(root, solved.pull[:, :, None])[:, :, 0]
    return np.einsum("kii->ki", root), settled


def _settle_long(solved: _Solved) -> tuple[Numbers, Numbers]:
    """Return the same of a long history, in one go."""
    root = _root_long(solved)
    return np.einsum("kii->ki", root)[:, :-1], root[:, -1, :-1]


def _root_long(solved: _Solved) -> Numbers:
    """Return each precision's root with the pull solved as its last row.

    Set under it as one more.
    """
    points, common = solved.pull.shape
    wider = np.empty((points, common + 1, common + 1))
    wider[:, :-1, :-1] = solved.precision
    wider[:, -1, :-1] = wider[:, :-1, -1] = solved.pull
    wider[:, -1, -1] = FAR
    return np.asarray(np.linalg.cholesky(wider), dtype=np.float64)


def _draw_common(solved: _Solved, chosen: Indices, generator: np.random.Generator) -> Numbers:
    root = np.linalg.cholesky(solved.precision)
    mean = np.linalg.solve(solved.precision, solved.pull[:, :, None])[:, :, 0]
    noise = generator.standard_normal((len(chosen), solved.pull.shape[1]))
    inverse = np.linalg.inv(root)
    spread = np.empty_like(noise)
    together = max(1, MOST_NUMBERS // inverse[0].size)
    for first in range(0, len(chosen), together):
        part = slice(first, first + together)
        spread[part] = np.matmul(noise[part, None, :], inverse[chosen[part]])[:, 0, :]
    return mean[chosen] + spread


def _draw_common_long(solved: _Solved, chosen: Indices, generator: np.random.Generator) -> Numbers:
    """Return the same, all draws that are made at one point together."""
    root = _root_long(solved)
    drawn = generator.standard_normal((len(chosen), solved.pull.shape[1]))
    firsts = np.flatnonzero(np.diff(chosen, prepend=-1)).tolist()
    for first, after in pairwise([*firsts, len(chosen)]):
        at = root[chosen[first]]
        away = (drawn[first:after] + at[-1, :-1]).T
        drawn[first:after] = solve_triangular(at[:-1, :-1], away, trans=1, lower=True).T
    return drawn


def _find_steps(ratings: Ratings) -> tuple[_Step, ...]:
    """Return each rater's steps; without ratings of an earlier period there are none."""
    steps = []
    for rater in np.unique(ratings.rater).tolist():
        seen = np.unique(np.append(ratings.period[ratings.rater == rater], 0)).tolist()
        steps += [_Step(rater, before, since) for since, before in pairwise(seen)]
    return tuple(steps)


def _find_patterns(ratings: Ratings, steps: tuple[_Step, ...], mean: float) -> tuple[_Pattern, ...]:
    alike: defaultdict[tuple[object, ...], list[Indices]] = defaultdict(list)
    order = np.lexsort((ratings.session, ratings.rater, ratings.batch, ratings.item))
    cuts = np.flatnonzero(np.diff(ratings.item[order])) + 1
    for rows in np.split(order, cuts) if len(order) else []:
        alike[_pattern_of(ratings, rows)].append(rows)
    return tuple(_make_pattern(ratings, steps, np.array(rows), mean) for rows in alike.values())


def _pattern_of(ratings: Ratings, rows: Indices) -> tuple[object, ...]:
    return (
        tuple(_first_seen(ratings.batch[rows])),
        tuple(_first_seen(ratings.rater[rows])),
        tuple(ratings.units[rows]),
    )


def _first_seen(labels: Indices) -> Indices:
    seen: dict[int, int] = {}
    return np.array([seen.setdefault(int(label), len(seen)) for label in labels])


def _make_pattern(
    ratings: Ratings, steps: tuple[_Step, ...], rows: Indices, mean: float
) -> _Pattern:
    batch, rater = ratings.batch[rows[0]], ratings.rater[rows[0]]
    before_sessions = ratings.streams + ratings.raters
    before_steps = before_sessions + ratings.sessions
    design = np.zeros((*rows.shape, before_steps + len(steps)))
    columns = (
        ratings.stream[ratings.item[rows]],
        ratings.streams + ratings.rater[rows],
        before_sessions + ratings.session[rows],
    )
    for column in columns:
        np.put_along_axis(design, column[:, :, None], 1.0, axis=2)
    # A rater's offset is that of the present; what was rated before a step lies on its far side.
    for nth, step in enumerate(steps, start=before_steps):
        is_before = (ratings.rater[rows] == step.rater) & (ratings.period[rows] >= step.before)
        design[:, :, nth] = is_before
    return _summed(
        _Pattern(
            items=ratings.item[rows[:, 0]],
            same_batch=(batch[:, None] == batch).astype(float),
            same_rater=(rater[:, None] == rater).astype(float),
            units=ratings.units[rows[0]],
            values=ratings.values[rows] - mean,
            design=design,
        )
    )


def _summed(pattern: _Pattern) -> _Pattern:
    items, rows, common = pattern.design.shape
    if rows >= LONG:
        return replace(pattern, long=_added_up(pattern))
    if rows * common >= items * (rows + common):
        return pattern
    crossed = np.einsum("nag,nbh->abgh", pattern.design, pattern.design, optimize=True)
    pulled = np.einsum("nag,nb->abg", pattern.design, pattern.values)
    return replace(
        pattern,
        crossed=crossed.reshape(rows * rows, -1),
        pulled=pulled.reshape(rows * rows, -1),
    )


def _added_up(pattern: _Pattern) -> tuple[LongItem, ...]:
    return tuple(
        add_up(
            same_batch=pattern.same_batch,
            same_rater=pattern.same_rater,
            units=pattern.units,
            values=values,
            design=design,
        )
        for values, design in zip(pattern.values, pattern.design, strict=True)
    )
