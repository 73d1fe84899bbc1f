"""How far importance weights can be relied on."""

import numpy as np

from crustbreak.numerics.ratings import Numbers

LEAST_SHARE = 0.2
WORST_SHAPE = 0.7


def effective_share(weights: Numbers) -> float:
    """Return the share of equally weighted points that would say as much, above 0 to 1.

    Args:    weights: shape (n,), positive, any scale.
    Source:  Kish's effective sample size, over n; by its definition.
    """
    return float(weights.sum() ** 2 / (weights @ weights) / len(weights))


def doubts(effective: float, shape: float) -> tuple[str, ...]:
    """Return in a sentence where weights are too uneven to rely on; nothing where they are not."""
    if effective >= LEAST_SHARE and shape <= WORST_SHAPE:
        return ()
    return (
        "The standard deviations were drawn too unevenly to rely on "
        f"(effective share {effective:.2f}, tail shape {shape:.2f}).",
    )


def pareto_shape(weights: Numbers) -> float:
    """Return the shape of a generalised Pareto distribution fitted to the largest weights.

    Question answered: have the weights a tail so heavy that their mean is not to be trusted?
    Below 0.5 the variance is finite; above 0.7 more points hardly help.

    Args:     weights: shape (n,), positive, any scale.
    Returns:  the shape; minus infinity when the weights are all equal or fewer than 25.
    Source:   the estimate of Zhang and Stephens [S11]; its use on weights [S12].
    """
    count = int(min(0.2 * len(weights), 3 * np.sqrt(len(weights))))
    ordered = np.sort(weights)
    tail = ordered[-count:] - ordered[-count - 1] if count else ordered[:0]
    if count < 5 or (tail[0] <= 0 and tail[-1] <= 0):
        return float("-inf")
    return _fit_shape(tail[tail > 0])


def _fit_shape(tail: Numbers) -> float:
    count = len(tail)
    candidates = 30 + int(np.sqrt(count))
    steps = 1 - np.sqrt(candidates / (np.arange(1, candidates + 1) - 0.5))
    scale = steps / (3 * tail[int(count / 4 + 0.5) - 1]) + 1 / tail[-1]
    shapes = np.log1p(-scale[:, None] * tail).mean(axis=1)
    likelihood = count * (np.log(-scale / shapes) - shapes - 1)
    weights = 1 / np.exp(likelihood - likelihood[:, None]).sum(axis=1)
    best = float((scale * weights).sum() / weights.sum())
    return float(np.log1p(-best * tail).mean())
