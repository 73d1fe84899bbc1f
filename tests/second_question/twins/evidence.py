"""Analysis' part: how far the two groups of bowls lie apart."""

from dataclasses import dataclass

from crustbreak.analysis.dataset import Frame
from crustbreak.numerics.spread import Spread, spread_of


@dataclass(frozen=True, slots=True, kw_only=True)
class TwinEvidence:
    """Distances of each coffee's bowls from the open one."""

    cut_off: float
    coffees: tuple[tuple[str, Spread | None], ...]


def weigh_twins(frame: Frame) -> TwinEvidence:
    """Give the spread of each coffee's distances."""
    return TwinEvidence(
        cut_off=frame.cut_off,
        coffees=tuple(
            (
                coffee.name,
                spread_of(
                    [
                        look.score.total
                        for look in frame.looks_at(coffee)
                        if look.score.total is not None
                    ]
                ),
            )
            for coffee in frame.coffees
        ),
    )
