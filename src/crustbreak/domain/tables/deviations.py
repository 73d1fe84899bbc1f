"""Bowls that differ from the recipe by more than its tolerance, for whoever reads their marks."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from crustbreak.domain.brewing.water import poured_g
from crustbreak.domain.records.recipes import DOSE_WITHIN_G, STEEP_WITHIN_S, WATER_WITHIN_G
from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.clocks import CupClock, clocks_of
from crustbreak.domain.tables.state import TableState

FlagKind = Literal["spilt", "steep", "dose", "water"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BowlDeviation:
    """One way in which one bowl differs.

    off:  how far, above zero for more: s of a steep, g of a dose or water; None for a spilt bowl.
    """

    code: str
    cup: int
    kind: FlagKind
    off: float | None = None


def deviations_of(table: Table, state: TableState) -> tuple[BowlDeviation, ...]:
    """Name every bowl that was spilt, or was noted further off than the recipe's tolerance.

    Steeps are looked at where somebody noted the break; a bowl that nobody touched is taken to
    have followed the course. Water is compared as the scale shows it: hot, it weighs less than
    a gram a millilitre.
    """
    clocks = clocks_of(table, state)
    return tuple(
        BowlDeviation(code=place.code, cup=cup, kind=kind, off=off)
        for (place, cup), clock in zip(table.cups, clocks, strict=True)
        for kind, off in _off(table, state, clock, cup=(place.id, cup))
    )


def _off(
    table: Table, state: TableState, clock: CupClock, *, cup: tuple[str, int]
) -> Iterator[tuple[FlagKind, float | None]]:
    noted, recipe = state.bowls.of(cup), table.recipe
    if clock.spilt_at is not None:
        yield "spilt", None
    if "bowl broken" in noted and clock.poured_at and clock.broken_at:
        steeped = (clock.broken_at - clock.poured_at).total_seconds()
        if abs(steeped - recipe.steep_s) > STEEP_WITHIN_S:
            yield "steep", round(steeped - recipe.steep_s)
    water_g = poured_g(recipe.water_ml, pour_c=recipe.pour_c)
    scales: tuple[tuple[FlagKind, str, float, float], ...] = (
        ("dose", "dose weighed", recipe.dose_g, DOSE_WITHIN_G),
        ("water", "water weighed", water_g, WATER_WITHIN_G),
    )
    for kind, fact, wanted, within in scales:
        figure = noted[fact].figure if fact in noted else None
        # What the scale shows is compared, and not what binary fractions make of it.
        if figure is not None and round(abs(figure - wanted), 4) > within:
            yield kind, round(figure - wanted, 2)
