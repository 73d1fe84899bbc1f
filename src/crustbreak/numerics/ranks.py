"""Ranks and differences read off draws."""

import numpy as np

from crustbreak.numerics.ratings import Numbers


def rank_chances(draws: Numbers) -> Numbers:
    """Return how probable each rank of each column is; the largest value has the first rank.

    Args:     draws: shape (d, n), each row as likely as the other, no two values alike.
    Returns:  shape (n, n), a row a column of the draws, a column a rank; rows and columns sum
              to 1.
    Source:   by definition.

    >>> rank_chances(np.array([[3.0, 1.0], [2.0, 5.0], [4.0, 0.0], [2.0, 1.0]])).tolist()
    [[0.75, 0.25], [0.25, 0.75]]
    """
    count = draws.shape[1]
    order = np.argsort(-draws, axis=1, kind="stable")
    chances = np.zeros((count, count))
    for rank in range(count):
        chances[:, rank] = np.bincount(order[:, rank], minlength=count) / len(draws)
    return chances


def over_chances(draws: Numbers) -> Numbers:
    """Return how probable it is that one column lies over another.

    Args:     draws: shape (d, n).
    Returns:  shape (n, n): row over column; half on the diagonal.
    """
    count = draws.shape[1]
    chances = np.full((count, count), 0.5)
    for row in range(count):
        for column in range(row):
            over = float((draws[:, row] > draws[:, column]).mean())
            chances[row, column], chances[column, row] = over, 1 - over
    return chances


def within_chances(draws: Numbers, gap: float) -> Numbers:
    """Return how probable it is that two columns lie no further apart than a gap.

    Args:     draws: shape (d, n). gap: in the draws' unit.
    Returns:  shape (n, n), one on the diagonal.
    """
    apart = np.abs(draws[:, :, None] - draws[:, None, :])
    chances: Numbers = (apart <= gap).mean(axis=0)
    return chances
