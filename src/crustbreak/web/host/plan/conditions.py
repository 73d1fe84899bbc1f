"""What a plan asks for beside itself: sample, roast, grind and caffeine, all of it if you like."""

from collections.abc import Mapping
from typing import Any

from crustbreak.domain.planning.conditions_input import FIGURES, TICKS, BesideDraft
from crustbreak.web.http.numbers import read_number

BESIDE_FIELDS = (*(each.name for each in FIGURES), *(name for name, _, _ in TICKS))


def usual_beside() -> dict[str, str]:
    """Give what a plan begins with."""
    figures = {each.name: each.usual for each in FIGURES}
    return {**figures, **{name: "yes" if ticked else "" for name, _, ticked in TICKS}}


def read_beside(typed: Mapping[str, str]) -> BesideDraft:
    """Read what was typed; a figure that was left empty is not asked about."""
    return BesideDraft(
        figures={
            each.name: read_number(text)
            for each in FIGURES
            if (text := typed.get(each.name, "")).strip()
        },
        ticks=frozenset(name for name, _, _ in TICKS if typed.get(name)),
    )


def beside_view(typed: Mapping[str, str]) -> dict[str, Any]:
    """Give what the page asks for, and whether anything but the usual was said."""
    usual = usual_beside()
    said = {name: typed.get(name, "") for name in BESIDE_FIELDS}
    return {"figures": FIGURES, "ticks": TICKS, "said": said, "open": said != usual}
