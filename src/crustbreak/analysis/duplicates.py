"""A coffee under two codes: how alike the same taster tastes the same coffee."""

from dataclasses import dataclass

import numpy as np

from crustbreak.analysis.dataset import Dataset
from crustbreak.analysis.panel import PanelDraws
from crustbreak.domain.records.coffees import Coffee

# 90 in 100 of a normal distribution lie within so many deviations.
NINE_IN_TEN = 1.645


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """How far apart one taster's two looks lie, points; None while a sheet is open."""

    taster: str
    points: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DuplicatePair:
    """One coffee under two codes.

    apart:   each taster's, in the order of the seats.
    within:  two looks of one taster lie so close with 90 in 100, points; None where nothing is
             assumed of the sheet's points.
    """

    coffee: str
    codes: tuple[str, ...]
    apart: tuple[Apart, ...]
    within: float | None


def find_duplicates(dataset: Dataset, panel: PanelDraws | None) -> tuple[DuplicatePair, ...]:
    """Return what stood twice on a table.

    Question answered: would the same people give the same coffee the same points. Assumes that
    both codes were poured and tasted alike.
    """
    within = _within(dataset, panel)
    return tuple(
        found for coffee in dataset.coffees if (found := _duplicate(coffee, dataset, within))
    )


def _duplicate(coffee: Coffee, dataset: Dataset, within: float | None) -> DuplicatePair | None:
    ratings = dataset.ratings_of(coffee)
    codes = tuple(sorted({rating.code for rating in ratings}))
    if len(codes) < 2:
        return None
    apart = []
    for taster in dict.fromkeys(rating.taster for rating in ratings):
        own = [rating.score.total for rating in ratings if rating.taster == taster]
        totals = [total for total in own if total is not None]
        points = round(max(totals) - min(totals), 4) if len(totals) == len(codes) else None
        apart.append(Apart(taster=taster, points=points))
    return DuplicatePair(coffee=coffee.name, codes=codes, apart=tuple(apart), within=within)


def _within(dataset: Dataset, panel: PanelDraws | None) -> float | None:
    if panel is None:
        return None
    own, unit = (np.median(panel.posterior.sds[name]) for name in ("own", "unit"))
    error = own**2 + unit**2 / max(
        (rating.cups for rating in dataset.ratings), default=dataset.sheet.cups
    )
    return round(float(NINE_IN_TEN * np.sqrt(2 * error)), 4)
