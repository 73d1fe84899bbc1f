"""How sure a table makes anyone: draws turned into figures that a person reads."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from crustbreak.analysis.controls import find_controls
from crustbreak.analysis.dataset import Frame
from crustbreak.analysis.panel import BadBowls, PanelDraws
from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.sheets.priors import Priors
from crustbreak.numerics.ranks import over_chances, rank_chances, within_chances
from crustbreak.numerics.ratings import Numbers

# 90 in 100 of a normal distribution lie within so many deviations.
NINE_IN_TEN = 1.645
# Points within which nobody would pay for the difference. Our judgement.
INDIFFERENT = 0.5
# A taster's look is named when it lies so many deviations of a look from the others' picture.
PARTS_FROM = 2.0
MOST_PARTINGS = 3
# So many tables with the old control and the new one before the new one holds the scale alone.
HOLDING_BOTH = 6

SOURCES = {
    "item": "from coffee to coffee",
    "look": "one taster's look at one coffee",
    "rater": "from taster to taster, on everything",
    "session": "from table to table",
}
# Only told where tables of earlier periods stand behind it.
DRIFTING = {"drift": "one taster, from one quarter of a year to the next"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """A figure, the bounds that hold it with 90 in 100, and those that hold it with 50."""

    mean: float
    low: float
    high: float
    inner_low: float
    inner_high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CoffeeSure:
    """What is known of one coffee.

    total:      its long-run total, points.
    over:       chance that it lies over the cut-off, 0 to 1.
    ranks:      chance of each rank, the first first.
    before:     at how many earlier tables its lot stood.
    drop:       by how much the mean of its sheets is expected to be lower on another tasting by
                the same tasters, points; None without a complete sheet.
    """

    coffee: str
    total: Interval
    over: float
    ranks: tuple[float, ...]
    before: int
    drop: float | None
    bad_bowls: BadBowls


@dataclass(frozen=True, slots=True, kw_only=True)
class Spreading:
    """One source of spread, as a standard deviation in points."""

    source: str
    size: Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class Parting:
    """A look that parts from the others: points above (or below) what one would expect of it."""

    taster: str
    coffee: str
    points: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HowSure:
    """What the table and the tables before it make of the coffees.

    scale:       whose points these are.
    coffees:     from the highest mean down.
    beats:       chance that the coffee of a row lies over the coffee of a column.
    ties:        chance that the two lie within `indifferent` points.
    sources:     what spreads the points.
    partings:    where tasters part, the largest first.
    warnings:    what to keep in mind, as sentences.
    looks, looks_before, tables_before:  complete looks today and in the history, and its tables.
    effective, shape:  how evenly the spreads were drawn: share that counts, tail shape.
    leaning:     by how much today's tasters give more than the scale's; 0 where they are the scale.
    look:        one taster's look at one coffee gives or takes so many points, with 90 in 100.
    """

    indifferent: float
    scale: str
    coffees: tuple[CoffeeSure, ...]
    beats: tuple[tuple[float, ...], ...]
    ties: tuple[tuple[float, ...], ...]
    sources: tuple[Spreading, ...]
    partings: tuple[Parting, ...]
    warnings: tuple[str, ...]
    priors: Priors
    looks: int
    looks_before: int
    tables_before: int
    effective: float
    shape: float
    seed: int
    look: float
    leaning: float = 0.0


def say_how_sure(frame: Frame, priors: Priors, panel: PanelDraws) -> HowSure:
    """Read the figures off the draws.

    Question answered: which coffee is better, by how much, how sure is that.
    """
    order = np.argsort(-panel.totals.mean(axis=0), kind="stable")
    totals = panel.totals[:, order]
    leaning = _leaning(panel)
    ranks = rank_chances(totals)
    coffees = tuple(
        CoffeeSure(
            coffee=panel.coffees[at].name,
            total=interval_of(totals[:, place]),
            over=_rounded(float((totals[:, place] > frame.cut_off).mean())),
            ranks=tuple(_rounded(float(chance)) for chance in ranks[place]),
            before=len(frame.lots_before(panel.coffees[at])),
            drop=_drop(panel.coffees[at], frame, totals[:, place] + leaning),
            bad_bowls=panel.bad_bowls[at],
        )
        for place, at in enumerate(order)
    )
    tasters = list(dict.fromkeys(look.taster for look in frame.looks))
    look_sd = float(np.median(panel.posterior.sds["look"]))
    partings = _partings(frame, look_sd)
    return HowSure(
        indifferent=INDIFFERENT,
        scale=_scale(panel, tasters, frame),
        coffees=coffees,
        beats=_rows(over_chances(totals)),
        ties=_rows(within_chances(totals, INDIFFERENT)),
        sources=tuple(
            Spreading(source=said, size=interval_of(panel.posterior.sds[name]))
            for name, said in {
                **SOURCES,
                **(DRIFTING if panel.ratings.period.any() else {}),
            }.items()
        ),
        partings=partings,
        warnings=(
            *_warnings(frame, tasters),
            *_scale_warnings(frame, panel),
            *panel.posterior.warnings,
        ),
        priors=priors,
        looks=panel.looks[0],
        looks_before=panel.looks[1],
        tables_before=len(frame.history),
        effective=_rounded(panel.posterior.effective),
        shape=_rounded(max(panel.posterior.shape, -9.0)),
        seed=frame.seed,
        look=_rounded(NINE_IN_TEN * look_sd),
        leaning=_rounded(leaning),
    )


def interval_of(draws: Numbers) -> Interval:
    """Give mean and the bounds that leave 5 in 100, and 25 in 100, on either side."""
    low, inner_low, inner_high, high = np.quantile(draws, [0.05, 0.25, 0.75, 0.95]).tolist()
    return Interval(
        mean=_rounded(float(draws.mean())),
        low=_rounded(low),
        high=_rounded(high),
        inner_low=_rounded(inner_low),
        inner_high=_rounded(inner_high),
    )


def _rounded(figure: float) -> float:
    # Another machine's arithmetic may differ far behind the point; the record must not.
    return round(figure, 4)


def _rows(chances: Numbers) -> tuple[tuple[float, ...], ...]:
    return tuple(tuple(_rounded(float(chance)) for chance in row) for row in chances)


def _leaning(panel: PanelDraws) -> float:
    raters = panel.posterior.raters
    here, scale = (raters[:, who].mean() for who in (panel.tasters, panel.scale))
    return float(here - scale)


def _sources(panel: PanelDraws) -> dict[str, str]:
    return SOURCES | (DRIFTING if panel.ratings.period.any() else {})


def _scale(panel: PanelDraws, tasters: Sequence[str], frame: Frame) -> str:
    whose = f"{tasters[0]}'s own" if len(tasters) == 1 else "of today's tasters together"
    if panel.anchors:
        whose = f"on the house's scale, {_mean_of(panel.anchors)}"
    held = [each for each in find_controls(frame) if each.tables and each.today is not None]
    if held:
        tables = "1 earlier table" if held[0].tables == 1 else f"{held[0].tables} earlier tables"
        return f"{whose}, held by the control {held[0].coffee}, which stood at {tables}"
    if frame.controls:
        return f"{whose}; relative only, since the control stands here for the first time"
    return f"{whose}; relative only, since no control stood on the table"


def _mean_of(anchors: Sequence[str]) -> str:
    if len(anchors) == 1:
        return f"which is {anchors[0]}'s"
    return f"the mean of {', '.join(anchors[:-1])} and {anchors[-1]}"


def _drop(coffee: Coffee, frame: Frame, totals: Numbers) -> float | None:
    seen = [look.score.total for look in frame.looks_at(coffee) if look.score.total is not None]
    return _rounded(sum(seen) / len(seen) - float(totals.mean())) if seen else None


def _partings(frame: Frame, look_sd: float) -> tuple[Parting, ...]:
    looks = [look for look in frame.looks if look.score.summed is not None]
    tasters = list(dict.fromkeys(look.taster for look in looks))
    if len(tasters) < 2 or len(frame.coffees) < 2:
        return ()
    values = np.array([look.score.summed or 0.0 for look in looks])
    rows = np.zeros((len(looks), len(tasters) + len(frame.coffees)))
    for nth, look in enumerate(looks):
        rows[nth, tasters.index(look.taster)] = 1
        rows[nth, len(tasters) + frame.coffees.index(look.coffee)] = 1
    # What taster and coffee explain; each alone is not to be told, their sum is.
    explained = rows @ np.linalg.pinv(rows)
    apart = values - explained @ values
    expected = look_sd * np.sqrt(np.maximum(1 - np.diag(explained), 1e-9))
    found = [
        (
            abs(gap) / most,
            Parting(taster=look.taster, coffee=look.coffee.name, points=_rounded(gap)),
        )
        for gap, most, look in zip(apart.tolist(), expected.tolist(), looks, strict=True)
        if abs(gap) > PARTS_FROM * most and abs(gap) > INDIFFERENT
    ]
    found.sort(key=lambda each: -each[0])
    return tuple(parting for _, parting in found[:MOST_PARTINGS])


def _warnings(frame: Frame, tasters: Sequence[str]) -> tuple[str, ...]:
    looks = [look for look in frame.looks if look.score.summed is not None]
    said = []
    if len(tasters) == 1:
        said.append("One taster: the order is one person's taste, and another's may part from it.")
    if len(looks) < len(frame.looks):
        missing = len(frame.looks) - len(looks)
        said.append(f"{missing} of {len(frame.looks)} sheets are not complete and do not count.")
    if len(looks) > 1 and len({look.score.summed for look in looks}) == 1:
        said.append("All sheets have the same sum: they tell no coffee from another.")
    said += say_few_bowls(frame)
    if _has_strangers(frame):
        said.append("Some tasters share no coffee: their points are compared by assumption alone.")
    return tuple(said)


def say_few_bowls(frame: Frame) -> tuple[str, ...]:
    """Say that fewer bowls stood there than the sheet is for, or were judged of some."""
    full = frame.sheet.cups
    most = max((look.cups for look in frame.looks), default=full)
    said = []
    if 0 < most < full:
        bowls = "1 bowl" if most == 1 else f"{most} bowls"
        times = f"{full}" if most == 1 else f"{full}/{most}"
        said.append(
            f"{bowls} of each coffee, where the sheet has {full}: what a bowl loses counts {times} "
            "times, so that totals stay on the sheet's scale."
        )
    short = dict.fromkeys(look.coffee.name for look in frame.looks if 0 < look.cups < most)
    if short:
        said.append(
            f"{', '.join(short)}: fewer bowls were judged than of the others, and each counts for "
            "more."
        )
    return tuple(said)


def _scale_warnings(frame: Frame, panel: PanelDraws) -> tuple[str, ...]:
    """Say where the house's scale hangs by a thread."""
    said = []
    strange = [name for name in frame.house.anchors if name not in panel.anchors]
    if strange and panel.anchors:
        said.append(f"{' and '.join(strange)}: named as anchor, and has not tasted on this sheet.")
    elif strange:
        said.append(
            "No anchor of the house's scale has tasted on this sheet yet: these are the points of "
            "today's tasters."
        )
    said += [
        f"The control {each.coffee} follows {each.follows}; they stood together at "
        f"{each.together} of the {HOLDING_BOTH} tables that hold a scale while one takes over."
        for each in find_controls(frame)
        if each.follows and each.together < HOLDING_BOTH
    ]
    return tuple(said)


def _has_strangers(frame: Frame) -> bool:
    """Tell whether the tasters fall into groups that share no coffee."""
    of_taster: dict[str, set[str]] = {}
    for look in frame.looks:
        if look.score.summed is not None:
            of_taster.setdefault(look.taster, set()).add(look.coffee.id)
    groups = list(of_taster.values())
    if not groups:
        return False
    reached = set(groups[0])
    for _ in groups:
        reached = reached.union(*(group for group in groups if group & reached))
    return any(not group & reached for group in groups)
