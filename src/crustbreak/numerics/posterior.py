"""What is known of items, raters and spreads after their ratings, the doubt about the spreads
included.

A rating is the mean of its stream + item + batch of the item + rater + session + the rater's
private taste of the item + error. All but the means are random and shrink by as much as the
evidence deserves; a rater may drift from period to period, as a random walk. Given the standard
deviations everything is Gaussian and exact; they themselves are drawn by importance around their
mode.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.special import expit, ndtri
from scipy.stats import qmc

from crustbreak.numerics.importance import doubts, effective_share, pareto_shape
from crustbreak.numerics.rating_model import SPREADS, Model, RatingPriors, make_model
from crustbreak.numerics.ratings import Indices, Numbers, Ratings

# How far a step of the search may go, and the differences for its slope and its bend, in units
# of a prior standard deviation.
MOST_STEP = 2.0
DIFFERENCE = 0.01
SETTLED = 1e-4
MOST_STEPS = 40

# The importance sample is wider than the bend at the mode says, so that no tail is missed.
WIDER = 1.2
# Below this effective share a sample is drawn again from its own mean and spread, so often at
# most; for them no weight counts for more than this over the root of the number of points.
ENOUGH = 0.4
MOST_AGAIN = 2
TRUNCATED = 0.3


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """How much is drawn.

    points:  importance points for the standard deviations, a power of two.
    draws:   draws of everything from the points.
    """

    points: int = 1024
    draws: int = 4000


@dataclass(frozen=True, slots=True, kw_only=True)
class Posterior:
    """Draws of what is known, and how far they can be trusted.

    items:        shape (draws, wanted): mean of the stream + item, in the ratings' unit.
    raters:       shape (draws, raters): each rater's offset, at present.
    sds:          spread's name to shape (draws,); `private` and `own` share `look`.
    typical:      shape (8,): the mean of the points, in units of the priors.
    effective:    share of the importance points that count, 0 to 1.
    shape:        Pareto shape of the largest weights; above 0.7 the draws say too little.
    warnings:     sentences, where the approximation is not to be relied on.
    """

    items: Numbers
    raters: Numbers
    sds: dict[str, Numbers]
    typical: Numbers
    effective: float
    shape: float
    warnings: tuple[str, ...]


def draw_posterior(
    ratings: Ratings,
    priors: RatingPriors,
    *,
    wanted: Sequence[int] | None = None,
    seed: int,
    effort: Effort = Effort(),
) -> Posterior:
    """Draw items, rater offsets and standard deviations from their posterior.

    Question answered: which values of the items go with these ratings, how surely.
    Assumes: Gaussian effects; the priors; rows missing for no reason of their value.
    Not for: ratings with two or three grades, where the grades themselves are the matter.

    Args:     wanted: items of interest, all where not given. seed: the same seed, the same draws.
    Returns:  draws; each is as likely as the other.
    Valid for one rating upwards; without any, the draws are the prior.
    Source:   the mixed model by its definition; importance sampling from a widened Gaussian at
              the mode, checked against a long run of a general sampler [S13].
    """
    model = make_model(ratings, priors)
    mode, root = _find_mode(model)
    points, weights = _sample(model, mode, root, effort.points)
    for _ in range(MOST_AGAIN):
        if effective_share(weights) >= ENOUGH:
            break
        points, weights = _sample(model, *_spread(points, weights), effort.points)
    chosen = _resample(weights, effort.draws)
    effective, shape = effective_share(weights), pareto_shape(weights)
    generator = np.random.Generator(np.random.Philox(seed))
    which = np.arange(ratings.items) if wanted is None else np.asarray(wanted, dtype=np.int64)
    items, raters = model.draw(points, chosen, which, generator)
    return Posterior(
        items=items,
        raters=raters,
        sds=_name_sds(points[chosen], priors),
        typical=weights @ points,
        effective=effective,
        shape=shape,
        warnings=doubts(effective, shape),
    )


def doubt_at(
    ratings: Ratings,
    priors: RatingPriors,
    point: Numbers,
    *,
    wanted: Sequence[int],
    raters: Sequence[int],
) -> Numbers:
    """Return how surely items would be known after ratings, whatever these said.

    Question answered: what would more ratings be worth. The value of an item is its stream's mean
    + item + mean offset of the raters named. Assumes that the spreads are those of the point.

    Args:     point: shape (8,), such as `Posterior.typical`.
    Returns:  standard deviations, shape (wanted,).
    """
    mix = np.zeros(ratings.raters)
    mix[list(raters)] = 1 / len(raters)
    return make_model(ratings, priors).doubt(point, np.asarray(wanted, dtype=np.int64), mix)


def _find_mode(model: Model) -> tuple[Numbers, Numbers]:
    """Climb to the mode; give it and a root of the inverse bend there."""
    here = np.zeros(SPREADS)
    for _ in range(MOST_STEPS):
        slope, bend = _slope_and_bend(model, here)
        values, vectors = np.linalg.eigh(-bend)
        # The prior alone bends by one; less would send a step far out.
        values = np.maximum(values, 0.1)
        step = vectors @ ((vectors.T @ slope) / values)
        size = float(np.linalg.norm(step))
        if size < SETTLED:
            break
        step *= min(1.0, MOST_STEP / size)
        tried = here + np.array([1.0, 0.5, 0.25, 0.06, 0.0])[:, None] * step
        here = tried[int(np.argmax(model.log_density(tried)))]
    return here, vectors / np.sqrt(values)


def _slope_and_bend(model: Model, here: Numbers) -> tuple[Numbers, Numbers]:
    # One call of all points: a call costs more than what is worked out in it.
    steps = np.eye(SPREADS) * DIFFERENCE
    pairs = [(i, j) for i in range(SPREADS) for j in range(i)]
    crossed = [
        a * steps[i] + b * steps[j]
        for i, j in pairs
        for a, b in ((1, 1), (1, -1), (-1, 1), (-1, -1))
    ]
    around = np.concatenate([np.zeros((1, SPREADS)), steps, -steps, np.array(crossed)])
    found = model.log_density(here + around)
    middle, up, down = found[0], found[1 : SPREADS + 1], found[SPREADS + 1 : 2 * SPREADS + 1]
    slope = (up - down) / (2 * DIFFERENCE)
    bend = np.diag((up - 2 * middle + down) / DIFFERENCE**2)
    corners = found[2 * SPREADS + 1 :].reshape(len(pairs), 4)
    mixed = (corners @ np.array([1.0, -1.0, -1.0, 1.0])) / (4 * DIFFERENCE**2)
    for (i, j), value in zip(pairs, mixed, strict=True):
        bend[i, j] = bend[j, i] = value
    return slope, bend


def _sample(model: Model, mode: Numbers, root: Numbers, points: int) -> tuple[Numbers, Numbers]:
    normal = _even_normals(points)
    drawn = mode + WIDER * normal @ root.T
    log_weights = model.log_density(drawn) + 0.5 * (normal**2).sum(axis=1)
    weights = np.exp(log_weights - log_weights.max())
    return drawn, weights / weights.sum()


def _spread(points: Numbers, weights: Numbers) -> tuple[Numbers, Numbers]:
    """Return mean and root of the covariance of a weighted sample that no one point may rule."""
    # Truncated weights: from memory, after Ionides, 2008.
    held = np.minimum(weights, TRUNCATED / np.sqrt(len(weights)))
    held /= held.sum()
    mean = held @ points
    away = points - mean
    return mean, np.linalg.cholesky(away.T @ (away * held[:, None]))


@lru_cache(maxsize=4)
def _even_normals(points: int) -> Numbers:
    # Sobol's points lie more evenly than chance would lay them. Source: [S10].
    square = qmc.Sobol(SPREADS, scramble=True, rng=1).random(points)
    normals: Numbers = ndtri(square)
    normals.setflags(write=False)
    return normals


def _resample(weights: Numbers, draws: int) -> Indices:
    # Systematic: each point comes as often as its weight says, to less than one.
    at = (np.arange(draws) + 0.5) / draws
    return np.minimum(np.searchsorted(np.cumsum(weights), at), len(weights) - 1)


def _name_sds(points: Numbers, priors: RatingPriors) -> dict[str, Numbers]:
    spread = priors.spreads(points)
    share = expit(priors.share[0] + priors.share[1] * points[:, -1])
    private = spread["look"] * np.sqrt(share)
    return {**spread, "private": private, "own": spread["look"] * np.sqrt(1 - share)}
