"""Labs that do not exist, with truths that are known: drawn spread by spread and effect by effect.

The marks are rounded to the sheet's quarters, as people give them.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from scipy.special import expit

from crustbreak.numerics.rating_model import NAMES, RatingPriors
from crustbreak.numerics.ratings import Numbers, Ratings, make_ratings

QUARTERS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """How a table is laid out.

    ratings:    by each taster at each coffee.
    duplicate:  the first coffee stands under one code more.
    missing:    share of looks that are not there.
    history:    earlier tables, of six coffees, by these tasters and two others, three at a time.
    quarters:   over how many periods they lie; from one to the next a taster drifts.
    """

    tasters: int
    coffees: int
    ratings: int = 1
    duplicate: bool = False
    missing: float = 0.0
    history: int = 0
    quarters: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class SimulatedLab:
    """Marks and what is behind them.

    totals:  today's coffees on the scale of today's tasters together, shape (coffees,).
    """

    ratings: Ratings
    totals: Numbers
    tasters: tuple[int, ...]


def draw_spreads(chance: np.random.Generator, priors: RatingPriors) -> dict[str, float]:
    """Draw a lab's standard deviations, and the share of private taste, from the priors."""
    spreads = {
        name: float(getattr(priors, name)[0] * np.exp(getattr(priors, name)[1] * normal))
        for name, normal in zip(NAMES, chance.standard_normal(len(NAMES)), strict=True)
    }
    centre, sd = priors.share
    return {**spreads, "share": float(expit(centre + sd * chance.standard_normal()))}


def draw_lab(
    chance: np.random.Generator,
    design: Design,
    spreads: Mapping[str, float],
    *,
    mean: tuple[float, float] = (83.0, 3.0),
) -> SimulatedLab:
    """Draw a lab's tables at given spreads."""
    people = design.tasters + (2 if design.history else 0)
    offsets = spreads["rater"] * chance.standard_normal(people)
    stream = mean[0] + mean[1] * chance.standard_normal()
    rows = _lay_out(chance, design, people)
    item, rater, session = (np.array(column) for column in zip(*rows, strict=True))
    items = int(item.max()) + 1
    lots = spreads["item"] * chance.standard_normal(items)
    # Each coffee of a table is one roast of its lot.
    roasts = spreads["batch"] * chance.standard_normal(items)
    tables = spreads["session"] * chance.standard_normal(int(session.max()) + 1)
    private = np.sqrt(spreads["share"]) * spreads["look"] * chance.standard_normal((items, people))
    own = np.sqrt((1 - spreads["share"]) * spreads["look"] ** 2 + spreads["unit"] ** 2 / 5)
    marks = stream + lots[item] + roasts[item] + offsets[rater] + tables[session]
    marks = marks + private[item, rater] + own * chance.standard_normal(len(rows))
    # Tables of the history are numbered from the last one back.
    period = np.maximum(session - 1, 0) * design.quarters // max(design.history, 1)
    if design.quarters > 1:
        steps = spreads["drift"] * chance.standard_normal((people, design.quarters))
        # A taster is what they are today; how they were lies a tasting order away.
        marks = marks + (np.cumsum(steps, axis=1) - steps[:, :1])[rater, period]
    today = tuple(range(design.tasters))
    return SimulatedLab(
        ratings=make_ratings(
            np.round(QUARTERS * marks) / QUARTERS,
            {"item": item, "rater": rater, "session": session, "period": period},
            units=np.full(len(rows), 5.0),
            stream=[0] * items,
            raters=people,
        ),
        totals=stream + lots[: design.coffees] + offsets[list(today)].mean(),
        tasters=today,
    )


def _lay_out(
    chance: np.random.Generator, design: Design, people: int
) -> list[tuple[int, int, int]]:
    rows = [
        (coffee, taster, 0)
        for coffee in range(design.coffees)
        for taster in range(design.tasters)
        for _ in range(design.ratings + (design.duplicate and coffee == 0))
    ]
    if design.missing:
        kept = chance.permutation(len(rows))[round(design.missing * len(rows)) :]
        rows = [rows[nth] for nth in sorted(kept)]
        # The last coffee may have lost every look; the arithmetic still has to know of it.
        if max(item for item, _, _ in rows) < design.coffees - 1:
            rows.append((design.coffees - 1, 0, 0))
    for table in range(1, design.history + 1):
        first = design.coffees + 6 * (table - 1)
        seated = chance.permutation(people)[:3]
        rows += [(first + coffee, int(who), table) for coffee in range(6) for who in seated]
    return rows
