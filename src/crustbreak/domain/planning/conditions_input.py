"""What is asked beside a plan, and which of its figures are slips of the pen."""

from collections.abc import Mapping
from dataclasses import dataclass

from crustbreak.core.errors import Problem, told
from crustbreak.domain.records.sample_conditions import SampleConditions


@dataclass(frozen=True, slots=True, kw_only=True)
class ConditionFigure:
    """One figure that is asked for, and may be left out.

    name:         field of `Beside`.
    title, unit:  as the page asks for it. about: what it is for.
    usual:        what the page begins with; empty for nothing.
    most:         from 0 up to it is no slip of the pen.
    """

    name: str
    title: str
    unit: str
    about: str
    usual: str
    most: float
    whole: bool = False


FIGURES = (
    ConditionFigure(
        name="sample_g",
        title="Green there is of the smallest sample",
        unit="g",
        about="Of one coffee, before this table's roast.",
        usual="",
        most=1_000_000,
    ),
    ConditionFigure(
        name="youngest_h",
        title="The last roast was",
        unit="h before the pour",
        about="8 to 24 h of rest is usual.",
        usual="",
        most=10_000,
    ),
    ConditionFigure(
        name="oldest_h",
        title="The first roast was",
        unit="h before the pour",
        about="Of the coffees on this table.",
        usual="",
        most=10_000,
    ),
    ConditionFigure(
        name="ground_min",
        title="Ground",
        unit="min before the pour",
        about="Open cups keep for 15 min, lidded ones for 30.",
        usual="15",
        most=10_000,
    ),
    ConditionFigure(
        name="swallowed",
        title="Spoons a taster swallows",
        unit="over the whole table",
        about="0 for who spits all of it out.",
        usual="0",
        most=100_000,
        whole=True,
    ),
    ConditionFigure(
        name="earlier_mg",
        title="Caffeine earlier that day",
        unit="mg",
        # A cup of 200 ml: 90 mg, [S4].
        about="Of whoever had most; a cup of filter coffee holds about 90 mg.",
        usual="0",
        most=10_000,
    ),
)
# Field of `Beside`, how the page asks, whether it is ticked at first.
TICKS = (
    ("graded", "It is graded too, 350 g", False),
    ("retained", "Two portions of 100 g of it are kept back", False),
    ("lidded", "Ground cups stand lidded", True),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ConditionsDraft:
    """What was typed beside a plan.

    figures:  name to what was typed; None for no number. Left out where nothing was typed.
    ticks:    names of what was ticked.
    """

    figures: Mapping[str, float | None]
    ticks: frozenset[str] = frozenset()


# A plan beside which nothing was said.
NOTHING_TYPED = ConditionsDraft(figures={})


def check_conditions(draft: ConditionsDraft) -> tuple[Problem, ...]:
    """Name every figure that is none; one that was left out is no fault."""
    return tuple(
        Problem(
            where=each.title,
            rule=f"a {'whole ' if each.whole else ''}number from 0 to {each.most:,g}, {each.unit}",
            found="no number" if figure is None else told(figure),
            remedy="Type it again, or leave it empty.",
        )
        for each in FIGURES
        if each.name in draft.figures and not _holds(each, figure := draft.figures[each.name])
    )


def make_conditions(draft: ConditionsDraft) -> SampleConditions:
    """Make what is kept of a draft without faults."""
    said = {name: figure for name, figure in draft.figures.items() if figure is not None}
    return SampleConditions(
        sample_g=said.get("sample_g"),
        youngest_h=said.get("youngest_h"),
        oldest_h=said.get("oldest_h"),
        ground_min=said.get("ground_min"),
        swallowed=int(said.get("swallowed", 0)),
        earlier_mg=said.get("earlier_mg", 0.0),
        graded="graded" in draft.ticks,
        retained="retained" in draft.ticks,
        lidded="lidded" in draft.ticks,
    )


def _holds(each: ConditionFigure, figure: float | None) -> bool:
    if figure is None or not 0 <= figure <= each.most:
        return False
    return not each.whole or figure == int(figure)
