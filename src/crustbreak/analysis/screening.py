"""How the coffees of a screening stand: over all its flights, from one posterior."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from crustbreak.analysis.dataset import Dataset
from crustbreak.analysis.panel import PanelDraws, draw_panel
from crustbreak.analysis.uncertainty import Interval, few_bowls_warnings, interval_of
from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.sheets.priors import Priors
from crustbreak.numerics.ratings import Indices


@dataclass(frozen=True, slots=True, kw_only=True)
class Stood:
    """One coffee of a screening.

    total:   its long-run total, points.
    over:    chance that it lies over the cut-off, 0 to 1.
    best:    chance that it is among the best so many, 0 to 1.
    sheets:  mean of its complete sheets, points; None without one.
    """

    coffee: Coffee
    total: Interval
    over: float
    best: float
    sheets: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranking:
    """Coffees that may be ranked together, from the highest mean down.

    best:      of how many best it speaks.
    held:      chance that all of these are among the first 1, 2, 3 ... of the coffees.
    sheets:    mean of the sheets of the first so many, points; None where one has none.
    again:     what the same tasters are expected to give the same on another day, points.
    bowls:     what of that drop is for bad bowls that may yet come, points.
    warnings:  what to keep in mind, as sentences.
    """

    coffees: tuple[Stood, ...]
    best: int
    held: tuple[float, ...]
    sheets: float | None
    again: float
    bowls: float
    warnings: tuple[str, ...]


def rank_flights(dataset: Dataset, priors: Priors, *, conditions: int, best: int) -> Ranking:
    """Rank the coffees of a flight, and of others that lie beside it.

    Question answered: which coffees are the best, how surely, and by how much will those that came
    out best drop. Assumes that the flights were drawn at random over all coffees, or that a
    control stood in each; that whoever tasted is in the datasets.

    Args:  beside: so many of the dataset's history, from the last on, are flights of the same look.
           best: how many will be chosen, at least 1.
    """
    panel = draw_panel(dataset, priors, conditions=conditions)
    order = np.argsort(-panel.totals.mean(axis=0), kind="stable")
    totals = panel.totals[:, order]
    wanted = min(best, len(order))
    # Rank of each coffee in each draw, the best 0.
    ranks = np.argsort(np.argsort(-totals, axis=1, kind="stable"), axis=1, kind="stable")
    seen = _sheets((dataset, *dataset.history[:conditions]))
    coffees = tuple(
        Stood(
            coffee=panel.coffees[at],
            total=interval_of(totals[:, place]),
            over=round(float((totals[:, place] > dataset.cut_off).mean()), 4),
            best=round(float((ranks[:, place] < wanted).mean()), 4),
            sheets=seen.get(panel.coffees[at].id),
        )
        for place, at in enumerate(order)
    )
    sheets = [each.sheets for each in coffees[:wanted] if each.sheets is not None]
    return Ranking(
        coffees=coffees,
        best=wanted,
        held=_held(ranks, wanted),
        sheets=sum(sheets) / wanted if len(sheets) == wanted else None,
        again=float(totals[:, :wanted].mean()) + _leaning(panel),
        bowls=_bowls_to_come(panel, order[:wanted]),
        warnings=(*few_bowls_warnings(dataset), *panel.posterior.warnings),
    )


def _sheets(frames: Sequence[Dataset]) -> dict[str, float]:
    found: dict[str, float] = {}
    for dataset in frames:
        for coffee in dataset.coffees:
            totals = [rating.score.total for rating in dataset.ratings_of(coffee)]
            whole = [total for total in totals if total is not None]
            if whole:
                found[coffee.id] = sum(whole) / len(whole)
    return found


def _bowls_to_come(panel: PanelDraws, first: Indices) -> float:
    # What was found is in the sheets already.
    bad = [panel.bad_bowls[at] for at in first]
    return sum(0.0 if each.found else each.cost for each in bad) / len(bad)


def _held(ranks: Indices, wanted: int) -> tuple[float, ...]:
    # The place of the last of the best, in the order of the means.
    last = np.where(ranks < wanted, np.arange(ranks.shape[1]), -1).max(axis=1)
    return tuple(round(float((last < first).mean()), 4) for first in range(1, ranks.shape[1] + 1))


def _leaning(panel: PanelDraws) -> float:
    raters = panel.posterior.raters
    here, scale = (raters[:, who].mean() for who in (panel.tasters, panel.scale))
    return float(here - scale)
