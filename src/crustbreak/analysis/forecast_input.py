"""A table as it is asked for: what is known of it before anything is poured."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from crustbreak.analysis.dataset import Dataset
from crustbreak.domain.sheets.definition import Sheet
from crustbreak.domain.sheets.priors import Priors


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastInput:
    """What a table can tell depends on this.

    bowls:      of each coffee, each with a code of its own.
    tasters:    at least 1.
    cut_off:    the figure that decides.
    asked:      what else was fixed, as the question asks it.
    look:       which look at the same answer it is, from 1.
    history:    earlier tables on the sheet, the last one first.
    priors:     what is assumed of the sheet's points; None where nobody has said.
    """

    sheet: Sheet
    bowls: int
    tasters: int
    cut_off: float
    asked: Mapping[str, Any]
    look: int = 1
    history: tuple[Dataset, ...] = ()
    priors: Priors | None = None
