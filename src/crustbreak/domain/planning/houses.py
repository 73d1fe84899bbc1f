"""What a house is asked about itself, once, and what may be answered."""

from collections.abc import Mapping
from dataclasses import dataclass

from crustbreak.domain.planning.drafts import MOST_TASTERS, as_compared, check_text
from crustbreak.domain.records.house import House
from crustbreak.footing.errors import Problem, told

# A code of three letters, such as USD, or a sign of up to that length.
CURRENCY_LENGTH = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One figure that a house is asked for.

    name:         the field of `House`.
    title, unit:  as the page asks for it.
    about:        what it is for.
    least, most:  both are allowed.
    """

    name: str
    title: str
    unit: str
    about: str
    least: float
    most: float


SETTINGS = (
    Setting(
        name="point_worth",
        title="One point is worth",
        unit="% of the price",
        about="By it the lab says in money what a wrong decision costs, where price and kilos "
        "were typed.",
        least=0.1,
        most=100.0,
    ),
    Setting(
        name="hour_cost",
        title="One taster's hour costs",
        unit="in the currency",
        about="A further test has to save at least what its hours cost.",
        least=0.0,
        most=10_000.0,
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseDraft:
    """A house as typed.

    figures:  name of a setting to what was typed; None where it was no number.
    """

    anchors: tuple[str, ...]
    currency: str
    figures: Mapping[str, float | None]


def check_house(draft: HouseDraft) -> tuple[Problem, ...]:
    """Name everything that keeps a house from being kept."""
    figures = [(setting, draft.figures.get(setting.name)) for setting in SETTINGS]
    return (
        *_check_anchors(draft.anchors),
        *check_text("Currency", draft.currency, needed=True, length=CURRENCY_LENGTH),
        *(
            Problem(
                where=setting.title,
                rule=f"a number from {setting.least:g} to {setting.most:g}, {setting.unit}",
                found="no number" if figure is None else f"{figure:g}",
                remedy="Give a figure; the one that holds now is a fair one to begin with.",
            )
            for setting, figure in figures
            if figure is None or not setting.least <= figure <= setting.most
        ),
    )


def make_house(draft: HouseDraft) -> House:
    """Make a house of a draft without faults."""
    figures = {name: figure for name, figure in draft.figures.items() if figure is not None}
    return House(anchors=draft.anchors, currency=draft.currency, **figures)


def _check_anchors(names: tuple[str, ...]) -> tuple[Problem, ...]:
    problems = []
    if len(names) > MOST_TASTERS:
        rule = f"at most {MOST_TASTERS} names, one a line"
        remedy = "Name those who taste most."
        problems.append(_problem(rule, str(len(names)), remedy))
    compared = [as_compared(name) for name in names]
    for nth, name in enumerate(names):
        problems += check_text("Anchors", name, needed=True)
        if compared[nth] in compared[:nth]:
            found, remedy = f"{told(name)} twice", "Take one out."
            problems.append(_problem("each name stands once", found, remedy))
    return tuple(problems)


def _problem(rule: str, found: str, remedy: str) -> Problem:
    return Problem(where="Anchors", rule=rule, found=found, remedy=remedy)
