"""What was measured of a green coffee, and what had been measured when it was approved."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """One measure; every figure as it was typed, with its decimals, or empty.

    at_approval, found:  then and now. least, most: what the contract allows.
    """

    measure: str
    at_approval: str = ""
    found: str = ""
    least: str = ""
    most: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OldScore:
    """What a coffee scored when it was approved.

    score:   mean total on the ten-line sheet, points, of so many tasters at so many tables.
    usual:   what such offers score on average; None for what is assumed of them.
    """

    score: float
    tasters: int = 1
    tables: int = 1
    usual: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Physicals:
    """All that was measured of one coffee, and by whom it was written down."""

    readings: tuple[Measurement, ...] = ()
    old_score: OldScore | None = None
    by: str = ""
