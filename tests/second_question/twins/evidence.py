"""Analysis' part: how far the two groups of bowls lie apart."""

from collections.abc import Sequence
from dataclasses import dataclass

from crustbreak.analysis.dataset import Dataset, Rating
from crustbreak.numerics.spread import Spread, spread_of


@dataclass(frozen=True, slots=True, kw_only=True)
class TwinEvidence:
    """Distances of each coffee's bowls from the open one."""

    cut_off: float
    coffees: tuple[tuple[str, Spread | None], ...]
    blank: Spread | None = None


def weigh_twins(dataset: Dataset) -> TwinEvidence:
    """Give the spread of each coffee's distances, and of hot water's."""
    return TwinEvidence(
        cut_off=dataset.cut_off,
        coffees=tuple(
            (coffee.name, _spread(dataset.ratings_of(coffee))) for coffee in dataset.coffees
        ),
        blank=_spread(dataset.control_ratings),
    )


def _spread(ratings: Sequence[Rating]) -> Spread | None:
    totals = (rating.score.total for rating in ratings)
    return spread_of([total for total in totals if total is not None])
