"""What a lab is asked about itself, once, and what may be answered."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from crustbreak.core.errors import Problem, told
from crustbreak.domain.planning.plan_request import MOST_TASTERS, as_compared, check_text
from crustbreak.domain.records.lab_settings import SHIPPED, LabSettings

# A code of three letters, such as USD, or a sign of up to that length.
CURRENCY_LENGTH = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One figure that a lab is asked for.

    group:        under which heading it is asked.
    name:         the field of `House`.
    title, unit:  as the page asks for it.
    about:        what it is for.
    least, most:  both are allowed.
    whole:        only whole numbers are.
    """

    group: str
    name: str
    title: str
    unit: str
    about: str
    least: float
    most: float
    whole: bool = False


MONEY = "Scale and money"
WATER = "Kettles and bowls"
GRAMS = "Coffee"
ROOM = "The room"

SETTINGS = (
    Setting(
        group=MONEY,
        name="matters_points",
        title="A gap that matters",
        unit="points",
        about="The lab says beforehand when a table is too coarse to see it.",
        least=0.1,
        most=20.0,
    ),
    Setting(
        group=MONEY,
        name="point_worth",
        title="One point is worth",
        unit="% of the price",
        about="By it the lab says in money what a wrong decision costs, where price and kilos "
        "were typed.",
        least=0.1,
        most=100.0,
    ),
    Setting(
        group=MONEY,
        name="hour_cost",
        title="One taster's hour costs",
        unit="in the currency",
        about="A further test has to save at least what its hours cost.",
        least=0.0,
        most=10_000.0,
    ),
    Setting(
        group=WATER,
        name="bowls",
        title="Bowls",
        unit="that you own",
        about="A table that takes more is said to.",
        least=1,
        most=1000,
        whole=True,
    ),
    Setting(
        group=WATER,
        name="pace_s",
        title="From one bowl to the next",
        unit="s",
        about="Pouring and breaking alike: about 8 to a line, 15 to 20 on a scale.",
        least=3,
        most=120,
        whole=True,
    ),
    Setting(
        group=WATER,
        name="skim_s",
        title="Skimming a bowl",
        unit="s",
        about="With two spoons.",
        least=1,
        most=120,
        whole=True,
    ),
    Setting(
        group=WATER,
        name="kettles",
        title="Kettles",
        unit="hot at the same time",
        about="Each goes back to heat once it is empty.",
        least=1,
        most=8,
        whole=True,
    ),
    Setting(
        group=WATER,
        name="kettle_ml",
        title="A full kettle",
        unit="ml",
        about="The smallest of them.",
        least=200,
        most=20_000,
        whole=True,
    ),
    Setting(
        group=WATER,
        name="kettle_rest_ml",
        title="Of which stays in it",
        unit="ml",
        about="What cannot be poured at the right temperature.",
        least=0,
        most=5_000,
        whole=True,
    ),
    Setting(
        group=WATER,
        name="reheat_s",
        title="To fill and heat it again",
        unit="s",
        about="From the last pour to the next.",
        least=0,
        most=3_600,
        whole=True,
    ),
    Setting(
        group=GRAMS,
        name="purge_g",
        title="To purge the grinder",
        unit="g",
        about="Of the next coffee, before its first cup.",
        least=0,
        most=100,
    ),
    Setting(
        group=GRAMS,
        name="colour_g",
        title="For the colour reading",
        unit="g",
        about="Ground; 0 where you read none.",
        least=0,
        most=100,
    ),
    Setting(
        group=GRAMS,
        name="loss_percent",
        title="Weight lost in a sample roast",
        unit="%",
        about="From green to roasted.",
        least=0,
        most=40,
    ),
    Setting(
        group=ROOM,
        name="altitude_m",
        title="Height of the lab",
        unit="m above the sea",
        about="Water boils cooler higher up.",
        least=-400,
        most=5_000,
        whole=True,
    ),
    Setting(
        group=ROOM,
        name="room_c",
        title="Temperature",
        unit="\N{DEGREE SIGN}C",
        about="Bowls cool slower in a warm room.",
        least=0,
        most=45,
    ),
    Setting(
        group=ROOM,
        name="humidity_percent",
        title="Humidity",
        unit="%",
        about="Of the air.",
        least=0,
        most=100,
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class LabSettingsDraft:
    """A house as typed.

    protocol:  by `id/version`.
    bowl:      kind of bowl.
    figures:   name of a setting to what was typed; None where it was no number.
    """

    anchors: tuple[str, ...]
    currency: str
    figures: Mapping[str, float | None]
    protocol: str = SHIPPED.protocol
    bowl: str = SHIPPED.bowl


def check_lab_settings(
    draft: LabSettingsDraft, *, protocols: Collection[str], bowls: Collection[str]
) -> tuple[Problem, ...]:
    """Name everything that keeps a lab from being kept.

    Args:  protocols, bowls: which there are.
    """
    figures = [(setting, draft.figures.get(setting.name)) for setting in SETTINGS]
    return (
        *_check_anchors(draft.anchors),
        *check_text("Currency", draft.currency, needed=True, length=CURRENCY_LENGTH),
        *(
            Problem(
                where=setting.title,
                rule=f"a {'whole ' if setting.whole else ''}number from {setting.least:g} to "
                f"{setting.most:g}, {setting.unit}",
                found="no number" if figure is None else f"{figure:g}",
                remedy="Give a figure; the one that holds now is a fair one to begin with.",
            )
            for setting, figure in figures
            if figure is None
            or not setting.least <= figure <= setting.most
            or (setting.whole and figure != int(figure))
        ),
        *_check_one_of("Protocol", draft.protocol, protocols),
        *_check_one_of("Kind of bowl", draft.bowl, bowls),
    )


def check_kettle(draft: LabSettingsDraft, *, bowl_ml: float) -> tuple[Problem, ...]:
    """Name what keeps a full kettle from filling one bowl: no table could be poured from it.

    Args:  draft: without other faults. bowl_ml: water of the largest bowl, ml.
    """
    pours_ml = (draft.figures["kettle_ml"] or 0) - (draft.figures["kettle_rest_ml"] or 0)
    if pours_ml >= bowl_ml:
        return ()
    return (
        Problem(
            where="A full kettle",
            rule=f"at least {bowl_ml:g} ml to pour, for one bowl of the largest protocol",
            found=f"{pours_ml:g} ml without what stays in it",
            remedy="Give the size of a larger kettle, or a smaller rest.",
        ),
    )


def make_lab_settings(draft: LabSettingsDraft) -> LabSettings:
    """Make a lab of a draft without faults."""
    figures: dict[str, Any] = {
        name: figure for name, figure in draft.figures.items() if figure is not None
    }
    return LabSettings(
        anchors=draft.anchors,
        currency=draft.currency,
        protocol=draft.protocol,
        bowl=draft.bowl,
        **figures,
    )


def _check_one_of(where: str, word: str, known: Collection[str]) -> tuple[Problem, ...]:
    if word in known:
        return ()
    return (
        Problem(
            where=where,
            rule=f"one of: {', '.join(known)}",
            found=told(word) if word else "none",
            remedy="Choose one of them.",
        ),
    )


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
