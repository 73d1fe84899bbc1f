"""Analysis' part: how far the two groups of bowls lie apart."""

from dataclasses import dataclass

from crustbreak.analysis.dataset import Dataset
from crustbreak.numerics.spread import Spread, spread_of


@dataclass(frozen=True, slots=True, kw_only=True)
class TwinEvidence:
    """Distances of each coffee's bowls from the open one."""

    cut_off: float
    coffees: tuple[tuple[str, Spread | None], ...]


def weigh_twins(dataset: Dataset) -> TwinEvidence:
    """Give the spread of each coffee's distances."""
    return TwinEvidence(
        cut_off=dataset.cut_off,
        coffees=tuple(
            (
                coffee.name,
                spread_of(
                    [
                        rating.score.total
                        for rating in dataset.ratings_of(coffee)
                        if rating.score.total is not None
                    ]
                ),
            )
            for coffee in dataset.coffees
        ),
    )
