"""The control: a coffee everybody knows, which says how the table stood that day."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from crustbreak.analysis.dataset import Dataset, Rating
from crustbreak.domain.records.coffees import Coffee


@dataclass(frozen=True, slots=True, kw_only=True)
class ControlFinding:
    """What a table made of its control.

    today:          mean of the complete sheets, points; None without one.
    usual:          mean of the same on earlier tables; None while it stands for the first time.
    least, most:    the lowest and highest of those tables.
    tables:         how many they are.
    follows:        the control of the last table without this one; empty where there is none.
    together:       at how many tables, this one included, both stood.
    """

    coffee: str
    code: str
    today: float | None
    usual: float | None
    least: float | None
    most: float | None
    tables: int
    follows: str = ""
    together: int = 0


def find_controls(dataset: Dataset) -> tuple[ControlFinding, ...]:
    """Return in words how the control came out today, and how it usually does.

    Question answered: did the table stand high or low that day. Assumes frozen portions of one
    roast; who tasted earlier may have been others.
    """
    return tuple(_find(control, dataset) for control in dataset.controls)


def _find(control: Coffee, dataset: Dataset) -> ControlFinding:
    ratings = _ratings(dataset, control)
    before = [
        mean
        for each, there in dataset.lots_before(control)
        if (mean := _mean(_ratings(each, there))) is not None
    ]
    return ControlFinding(
        coffee=control.name,
        code=" and ".join(sorted({rating.code for rating in ratings})),
        today=_mean(ratings),
        usual=round(sum(before) / len(before), 4) if before else None,
        least=min(before, default=None),
        most=max(before, default=None),
        tables=len(before),
        **_follows(control, dataset),
    )


def _follows(control: Coffee, dataset: Dataset) -> dict[str, Any]:
    """Return which control this one takes over from, and how many tables hold them together."""
    every = [
        {_lot(each, there): there for there in each.controls}
        for each in (dataset, *dataset.history)
    ]
    mine = _lot(dataset, control)
    without = next((held for held in every[1:] if held and mine not in held), {})
    old = next((lot for lot in without if lot not in every[0]), None)
    if old is None:
        return {}
    return {
        "follows": without[old].name,
        "together": sum({mine, old} <= set(held) for held in every),
    }


def _lot(dataset: Dataset, control: Coffee) -> str:
    return dataset.lots.get(control.id, control.id)


def _ratings(dataset: Dataset, control: Coffee) -> Sequence[Rating]:
    return [rating for rating in dataset.control_ratings if rating.coffee == control]


def _mean(ratings: Sequence[Rating]) -> float | None:
    totals = [rating.score.total for rating in ratings if rating.score.total is not None]
    return round(sum(totals) / len(totals), 4) if totals else None
