"""Middle and spread of a handful of numbers."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, stdev


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """A few numbers in short.

    count:        how many there were.
    mean:         their arithmetic mean, in their own unit.
    deviation:    sample standard deviation (n - 1), same unit; None for fewer than two numbers,
                  where nothing is known of it.
    least, most:  the smallest and the largest.
    """

    count: int
    mean: float
    deviation: float | None
    least: float
    most: float


def spread_of(values: Sequence[float]) -> Spread | None:
    """Return mean, sample standard deviation and extremes.

    Question answered: where do these numbers lie and how far apart are they. It says nothing of
    how sure their mean is: for three tasters that needs more than their three numbers.

    Args:     values: shape (n,), any unit.
    Returns:  the spread, or None when there are no numbers.
    Valid for any finite numbers; the deviation of one number is None, never zero.
    Source:   sample standard deviation by its definition; checked against [S5].

    >>> spread_of([84.0, 86.0]).mean
    85.0
    """
    if not values:
        return None
    return Spread(
        count=len(values),
        mean=fmean(values),
        deviation=stdev(values) if len(values) > 1 else None,
        least=min(values),
        most=max(values),
    )
