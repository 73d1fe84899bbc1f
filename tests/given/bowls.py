"""Bowls held against an open one, as datasets: what does not care how they came about."""

import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from crustbreak.analysis.dataset import Dataset, Rating
from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.sheets.priors import Priors, read_priors
from crustbreak.domain.sheets.scoring import Score
from tables import difference

PRIORS_FILE = Path(__file__).parents[2] / "src/crustbreak/data/priors/difference.toml"
CONTROL, COMPARED = Coffee(id="old", name="Oskelan"), Coffee(id="new", name="Oskelan 2")


def difference_priors() -> Priors:
    """Give the shipped priors of the difference sheet."""
    definition = tomllib.loads(PRIORS_FILE.read_text(encoding="utf-8"))
    return read_priors(definition, name=PRIORS_FILE.name)


def marked(value: float | None, **words: str) -> Score:
    """Give one bowl's sheet by its one line; None where it was not marked."""
    return Score(
        lines={} if value is None else {"difference": value},
        missing=("difference",) if value is None else (),
        summed=value,
        penalty=None if value is None else 0.0,
        total=value,
        title=None,
        flagged={},
        notes={},
        words=words,
    )


def bowls(
    control: Sequence[float | None],
    compared: Sequence[float | None],
    *,
    tasters: Sequence[str] = ("Odile",),
    way: str = "",
    **changed: Any,
) -> Dataset:
    """Give a table at which everybody marked every bowl alike.

    Args:  way: of every bowl of the compared coffee that is marked above 0.
    """
    marks = dict.fromkeys(tasters, (control, compared))
    return table_of(marks, way=way, **changed)


def table_of(
    marks: Mapping[str, tuple[Sequence[float | None], Sequence[float | None]]],
    *,
    way: str = "",
    **changed: Any,
) -> Dataset:
    """Give a table by taster to what the bowls of the control and of the other got."""
    ratings = []
    for taster, both in marks.items():
        for nth, (coffee, given) in enumerate(zip((CONTROL, COMPARED), both, strict=True)):
            for number, value in enumerate(given):
                words = {"direction": way} if way and nth and value else {}
                ratings.append(
                    Rating(
                        taster=taster,
                        coffee=coffee,
                        code=f"{'AB'[nth]}{number}",
                        cups=1,
                        score=marked(value, **words),
                        call="cannot tell yet",
                    )
                )
    facts: dict[str, Any] = {
        "sheet": difference(),
        "cut_off": 1.5,
        "coffees": (CONTROL, COMPARED),
        "ratings": tuple(ratings),
        "priors": difference_priors(),
        "asked": {"certainty": 0.9},
        "id": "t1",
        "seed": 1,
    }
    return Dataset(**{**facts, **changed})
