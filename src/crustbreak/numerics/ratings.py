"""Ratings of items by raters: who gave what, where and when, as columns."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crustbreak.core.errors import Problem, Unacceptable

Numbers = NDArray[np.float64]
Indices = NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ratings:
    """One row a rating: one rater's number for one item at one session.

    values:   shape (n,), finite, any unit.
    item:     shape (n,), from 0; which item.
    batch:    shape (n,), which batch of its item; a number means nothing across items.
    rater:    shape (n,), from 0.
    session:  shape (n,), from 0.
    period:   shape (n,), from 0; how many periods before the present one. A rater is the same
              within a period and may drift from one to the next.
    units:    shape (n,), on how many units the rating rests, at least 1.
    stream:   shape (items,), from 0; towards the mean of which stream each item shrinks.

    An item or a rater may have no row: then it is known by its prior alone. Rows that are missing
    are simply not there.
    """

    values: Numbers
    item: Indices
    batch: Indices
    rater: Indices
    session: Indices
    period: Indices
    units: Numbers
    stream: Indices
    raters: int
    sessions: int

    @property
    def items(self) -> int:
        """How many items there are."""
        return len(self.stream)

    @property
    def streams(self) -> int:
        """How many streams there are."""
        return int(self.stream.max(initial=-1)) + 1


def make_ratings(
    values: Sequence[float] | Numbers,
    columns: dict[str, Sequence[int] | Indices],
    *,
    units: Sequence[float] | Numbers | None = None,
    stream: Sequence[int] | Indices | None = None,
    raters: int = 0,
) -> Ratings:
    """Put ratings together from columns.

    Args:    columns: `item` and `rater`, and where there are more than one, `session`, `batch`
             and `period`; each as long as `values`, whole numbers from 0. units: 1 where not given.
             stream: a number for each item; all in one where not given. raters: how many there are
             at least, with those who rated nothing.
    Raises:  Unacceptable for columns of other lengths, numbers below 0, or values that are not
             finite: a missing rating is a row that is not there.
    """
    rows = len(values)
    index = {
        name: np.asarray(columns.get(name, np.zeros(rows)), dtype=np.int64)
        for name in ("item", "batch", "rater", "session", "period")
    }
    counted = {name: int(column.max(initial=-1)) + 1 for name, column in index.items()}
    ratings = Ratings(
        values=np.asarray(values, dtype=np.float64),
        units=np.ones(rows) if units is None else np.asarray(units, dtype=np.float64),
        stream=np.zeros(counted["item"], dtype=np.int64)
        if stream is None
        else np.asarray(stream, dtype=np.int64),
        raters=max(counted["rater"], raters),
        sessions=counted["session"],
        **index,
    )
    _demand_sound(ratings)
    return ratings


def _demand_sound(ratings: Ratings) -> None:
    rows = len(ratings.values)
    for name in ("item", "batch", "rater", "session", "period", "units"):
        column = getattr(ratings, name)
        _demand(column.shape == (rows,), name, f"{rows} rows", f"shape {column.shape}")
        least = 1 if name == "units" else 0
        lowest = float(column.min(initial=least))
        _demand(lowest >= least, name, f"{least} or more", f"{lowest:g}")
    faulty = np.flatnonzero(~np.isfinite(ratings.values))
    _demand(not faulty.size, "values", "finite numbers", f"row {faulty[:1]} is none")
    highest = int(ratings.item.max(initial=-1))
    _demand(highest < ratings.items, "stream", "one for each item", f"{ratings.items}")


def _demand(sound: bool, where: str, rule: str, found: str) -> None:
    if not sound:
        remedy = "Leave the row out, or give what belongs there."
        problem = Problem(where=where, rule=rule, found=found, remedy=remedy)
        raise Unacceptable("These ratings cannot be read.", hint=remedy, problems=(problem,))
