"""What a plan asks for beside itself: sample, roast, grind and caffeine, all of it if you like."""

from collections.abc import Mapping
from typing import Any

from crustbreak.domain.planning.conditions_input import FIGURES, TICKS, ConditionsDraft
from crustbreak.web.http.numbers import read_number

BESIDE_FIELDS = (*(each.name for each in FIGURES), *(name for name, _, _ in TICKS))


def usual_conditions() -> dict[str, str]:
    """Return what a plan begins with."""
    figures = {each.name: each.usual for each in FIGURES}
    return {**figures, **{name: "yes" if ticked else "" for name, _, ticked in TICKS}}


def read_conditions(typed: Mapping[str, str]) -> ConditionsDraft:
    """Read what was typed; a figure that was left empty is not asked about."""
    return ConditionsDraft(
        figures={
            each.name: read_number(text)
            for each in FIGURES
            if (text := typed.get(each.name, "")).strip()
        },
        ticks=frozenset(name for name, _, _ in TICKS if typed.get(name)),
    )


def conditions_view(typed: Mapping[str, str]) -> dict[str, Any]:
    """Return what the page asks for, and whether anything but the usual was said."""
    usual = usual_conditions()
    said = {name: typed.get(name, "") for name in BESIDE_FIELDS}
    return {"figures": FIGURES, "ticks": TICKS, "said": said, "open": said != usual}
