"""Frames put together from totals, for what does not care about the lines behind them."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from crustbreak.analysis.dataset import Dataset, Rating
from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.sheets.scoring import Score
from priors import TEN_LINE
from tables import ten_line

NO_FAULT = {"taints_faults": {}}


def score(summed: float | None, flagged: Mapping[int, str] | None = None) -> Score:
    """Give a sheet by its sum, with bad bowls by their word."""
    sheet = ten_line()
    penalty = next(line for line in sheet.scored if line.penalty)
    worth = {option.id: -option.points for option in penalty.options}
    taken = sum(worth[word] for word in (flagged or {}).values())
    lines = {} if summed is None else {penalty.id: -taken}
    return Score(
        lines=lines,
        missing=("body",) if summed is None else (),
        summed=summed,
        penalty=None if summed is None else taken,
        total=None if summed is None else summed - taken,
        title=None,
        flagged={penalty.id: flagged} if flagged else {},
        notes={},
    )


def dataset(
    totals: Mapping[str, Mapping[str, float | None]],
    *,
    cut_off: float = 84.0,
    flagged: Mapping[tuple[str, str], Mapping[int, str]] | None = None,
    history: tuple[Dataset, ...] = (),
    lots: Mapping[str, str] | None = None,
    seed: int = 1,
) -> Dataset:
    """Give a dataset from coffee to taster to sum; None for a sheet that is not complete.

    Args:  flagged: (coffee, taster) to bowl to word. lots: coffee to lot.
    """
    coffees = tuple(Coffee(id=f"id of {name}", name=name) for name in totals)
    ratings = tuple(
        Rating(
            taster=taster,
            coffee=coffee,
            code=f"{527 + nth}",
            cups=5,
            score=score(summed, (flagged or {}).get((coffee.name, taster))),
            call=None,
        )
        for nth, coffee in enumerate(coffees)
        for taster, summed in totals[coffee.name].items()
    )
    return Dataset(
        sheet=ten_line(),
        cut_off=cut_off,
        coffees=coffees,
        ratings=ratings,
        priors=TEN_LINE,
        history=history,
        lots={f"id of {name}": lot for name, lot in (lots or {}).items()},
        seed=seed,
    )


def with_control(
    plain: Dataset, name: str, totals: Mapping[str, float | None], *, lot: str = "control"
) -> Dataset:
    """Put a control on a table, from taster to sum."""
    control = Coffee(id=f"id of {name}", name=name, is_control=True)
    ratings = tuple(
        Rating(taster=taster, coffee=control, code="999", cups=5, score=score(summed), call=None)
        for taster, summed in totals.items()
    )
    return replace(
        plain,
        controls=(control,),
        control_ratings=ratings,
        lots={**plain.lots, control.id: lot},
    )


def simulated_history(*, tables: int, look_sd: float, seed: int = 1) -> tuple[Dataset, ...]:
    """Give earlier tables of three tasters and six coffees, drawn at known spreads."""
    chance = np.random.default_rng(seed)
    offsets = 1.1 * chance.standard_normal(3)
    found = []
    for _ in range(tables):
        lots, table = 83 + 1.3 * chance.standard_normal(6), 0.4 * chance.standard_normal()
        errors = look_sd * chance.standard_normal((6, 3))
        marks = lots[:, None] + offsets + table + errors
        found.append(
            dataset(
                {
                    f"Coffee {lot}": {
                        f"Taster {nth}": float(np.round(4 * marks[lot, nth]) / 4)
                        for nth in range(3)
                    }
                    for lot in range(6)
                }
            )
        )
    return tuple(found)
