"""An item that was rated very often, as the sums of its rows.

The covariance of an item's rows is its errors on the diagonal and a few blocks of ones: the item
itself, its batches, each rater's private taste. So its inverse needs a matrix as large as there are
blocks, not as there are rows, and what the rows add up to is worked out once. It is the same
arithmetic, exactly: nothing is left out or made coarser.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from crustbreak.numerics.ratings import Numbers

# From so many rows on the sums are quicker than the covariance written out.
LONG = 32


@dataclass(frozen=True, slots=True)
class LongItem:
    """The rows of one item, added up by how many units each rests on.

    units, rows:  shape (c,): each number of units that occurs, and in how many rows.
    effects:      shape (q,): whose variance each block has: `item`, `batch` or `private`.
    columns:      shape (c, w, w): products of blocks, common effects and values with each other.
    blocks:       q, of the w columns.
    """

    units: Numbers
    rows: Numbers
    effects: tuple[str, ...]
    columns: Numbers

    @property
    def blocks(self) -> int:
        """How many blocks of ones there are."""
        return len(self.effects)


def add_up(
    *,
    same_batch: Numbers,
    same_rater: Numbers,
    units: Numbers,
    values: Numbers,
    design: Numbers,
) -> LongItem:
    """Add up the rows of an item.

    Args:  same_batch, same_rater: shape (m, m), 1 where two rows share it. units, values: shape
           (m,). design: shape (m, g).
    """
    batches, raters = (_blocks_of(same) for same in (same_batch, same_rater))
    effects = ("item", *("batch",) * batches.shape[1], *("private",) * raters.shape[1])
    every = np.concatenate(
        [np.ones((len(values), 1)), batches, raters, design, values[:, None]], axis=1
    )
    kinds, of = np.unique(units, return_inverse=True)
    parts = [every[of == kind] for kind in range(len(kinds))]
    return LongItem(
        units=kinds,
        rows=np.array([float(len(part)) for part in parts]),
        effects=effects,
        columns=np.stack([part.T @ part for part in parts]),
    )


def _blocks_of(same: Numbers) -> Numbers:
    """Return shape (m, blocks): which block each row is in."""
    blocks: Numbers = np.unique(same, axis=0).T
    return blocks


def solve_long(
    item: LongItem, variances: Mapping[str, Numbers]
) -> tuple[Numbers, Numbers, Numbers]:
    """Return what the rows of an item say of the common effects at k points.

    Formula:  V = E + Z K Z', and by Woodbury's identity, with R = root of K,
              inv(V) = inv(E) - inv(E) Z R inv(I + R Z' inv(E) Z R) R Z' inv(E).

    Args:     variances: effect to shape (k,); `own` and `unit` make the errors E.
    Returns:  precision, shape (k, g, g); precision times mean, shape (k, g); twice the loss of
              log density, shape (k,).
    """
    errors = variances["own"][:, None] + variances["unit"][:, None] / item.units
    sums = np.tensordot(1 / errors, item.columns, axes=1)
    blocks = item.blocks
    root = np.sqrt(np.stack([variances[name] for name in item.effects], axis=1))
    inner = root[:, :, None] * sums[:, :blocks, :blocks] * root[:, None, :]
    np.einsum("kqq->kq", inner)[:] += 1
    across = root[:, :, None] * sums[:, :blocks, blocks:]
    left = sums[:, blocks:, blocks:]
    left -= across.transpose(0, 2, 1) @ np.linalg.solve(inner, across)
    size = np.log(errors) @ item.rows + np.linalg.slogdet(inner)[1]
    return left[:, :-1, :-1], left[:, :-1, -1], left[:, -1, -1] + size
