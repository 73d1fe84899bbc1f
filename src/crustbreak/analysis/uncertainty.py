"""How sure a table makes anyone: draws turned into figures that a person reads."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from crustbreak.analysis.controls import find_controls
from crustbreak.analysis.dataset import Dataset
from crustbreak.analysis.panel import BadBowls, PanelDraws
from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.sheets.priors import Priors
from crustbreak.numerics.ranks import over_chances, rank_chances, within_chances
from crustbreak.numerics.ratings import Numbers

# 90 in 100 of a normal distribution lie within so many deviations.
NINE_IN_TEN = 1.645
# Points within which nobody would pay for the difference. Our judgement.
INDIFFERENT = 0.5
# A taster's rating is named when it lies so many deviations of a rating from the others' picture.
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
class CoffeeUncertainty:
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
    """A rating that parts from the others: points above (or below) what one would expect of it."""

    taster: str
    coffee: str
    points: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Uncertainty:
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
    look:        one taster's rating at one coffee gives or takes so many points, with 90 in 100.
    """

    indifferent: float
    scale: str
    coffees: tuple[CoffeeUncertainty, ...]
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


def estimate_uncertainty(dataset: Dataset, priors: Priors, panel: PanelDraws) -> Uncertainty:
    """Read the figures off the draws.

    Question answered: which coffee is better, by how much, how sure is that.
    """
    order = np.argsort(-panel.totals.mean(axis=0), kind="stable")
    totals = panel.totals[:, order]
    leaning = _leaning(panel)
    ranks = rank_chances(totals)
    coffees = tuple(
        CoffeeUncertainty(
            coffee=panel.coffees[at].name,
            total=interval_of(totals[:, place]),
            over=_rounded(float((totals[:, place] > dataset.cut_off).mean())),
            ranks=tuple(_rounded(float(chance)) for chance in ranks[place]),
            before=len(dataset.lots_before(panel.coffees[at])),
            drop=_drop(panel.coffees[at], dataset, totals[:, place] + leaning),
            bad_bowls=panel.bad_bowls[at],
        )
        for place, at in enumerate(order)
    )
    tasters = list(dict.fromkeys(rating.taster for rating in dataset.ratings))
    look_sd = float(np.median(panel.posterior.sds["look"]))
    partings = _partings(dataset, look_sd)
    return Uncertainty(
        indifferent=INDIFFERENT,
        scale=_scale(panel, tasters, dataset),
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
            *_warnings(dataset, tasters),
            *_scale_warnings(dataset, panel),
            *panel.posterior.warnings,
        ),
        priors=priors,
        looks=panel.looks[0],
        looks_before=panel.looks[1],
        tables_before=len(dataset.history),
        effective=_rounded(panel.posterior.effective),
        shape=_rounded(max(panel.posterior.shape, -9.0)),
        seed=dataset.seed,
        look=_rounded(NINE_IN_TEN * look_sd),
        leaning=_rounded(leaning),
    )


def interval_of(draws: Numbers) -> Interval:
    """Return mean and the bounds that leave 5 in 100, and 25 in 100, on either side."""
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


def _scale(panel: PanelDraws, tasters: Sequence[str], dataset: Dataset) -> str:
    whose = f"{tasters[0]}'s own" if len(tasters) == 1 else "of today's tasters together"
    if panel.anchors:
        whose = f"on the house's scale, {_mean_of(panel.anchors)}"
    held = [each for each in find_controls(dataset) if each.tables and each.today is not None]
    if held:
        tables = "1 earlier table" if held[0].tables == 1 else f"{held[0].tables} earlier tables"
        return f"{whose}, held by the control {held[0].coffee}, which stood at {tables}"
    if dataset.controls:
        return f"{whose}; relative only, since the control stands here for the first time"
    return f"{whose}; relative only, since no control stood on the table"


def _mean_of(anchors: Sequence[str]) -> str:
    if len(anchors) == 1:
        return f"which is {anchors[0]}'s"
    return f"the mean of {', '.join(anchors[:-1])} and {anchors[-1]}"


def _drop(coffee: Coffee, dataset: Dataset, totals: Numbers) -> float | None:
    seen = [
        rating.score.total
        for rating in dataset.ratings_of(coffee)
        if rating.score.total is not None
    ]
    return _rounded(sum(seen) / len(seen) - float(totals.mean())) if seen else None


def _partings(dataset: Dataset, look_sd: float) -> tuple[Parting, ...]:
    looks = [rating for rating in dataset.ratings if rating.score.summed is not None]
    tasters = list(dict.fromkeys(rating.taster for rating in looks))
    if len(tasters) < 2 or len(dataset.coffees) < 2:
        return ()
    values = np.array([rating.score.summed or 0.0 for rating in looks])
    rows = np.zeros((len(looks), len(tasters) + len(dataset.coffees)))
    for nth, rating in enumerate(looks):
        rows[nth, tasters.index(rating.taster)] = 1
        rows[nth, len(tasters) + dataset.coffees.index(rating.coffee)] = 1
    # What taster and coffee explain; each alone is not to be told, their sum is.
    explained = rows @ np.linalg.pinv(rows)
    apart = values - explained @ values
    expected = look_sd * np.sqrt(np.maximum(1 - np.diag(explained), 1e-9))
    found = [
        (
            abs(gap) / most,
            Parting(taster=rating.taster, coffee=rating.coffee.name, points=_rounded(gap)),
        )
        for gap, most, rating in zip(apart.tolist(), expected.tolist(), looks, strict=True)
        if abs(gap) > PARTS_FROM * most and abs(gap) > INDIFFERENT
    ]
    found.sort(key=lambda each: -each[0])
    return tuple(parting for _, parting in found[:MOST_PARTINGS])


def _warnings(dataset: Dataset, tasters: Sequence[str]) -> tuple[str, ...]:
    looks = [rating for rating in dataset.ratings if rating.score.summed is not None]
    said = []
    if len(tasters) == 1:
        said.append("One taster: the order is one person's taste, and another's may part from it.")
    if len(looks) < len(dataset.ratings):
        missing = len(dataset.ratings) - len(looks)
        said.append(
            f"{missing} of {len(dataset.ratings)} sheets are not complete and do not count."
        )
    if len(looks) > 1 and len({rating.score.summed for rating in looks}) == 1:
        said.append("All sheets have the same sum: they tell no coffee from another.")
    said += few_bowls_warnings(dataset)
    if _has_strangers(dataset):
        said.append("Some tasters share no coffee: their points are compared by assumption alone.")
    return tuple(said)


def few_bowls_warnings(dataset: Dataset) -> tuple[str, ...]:
    """Return that fewer bowls stood there than the sheet is for, or were judged of some."""
    full = dataset.sheet.cups
    most = max((rating.cups for rating in dataset.ratings), default=full)
    said = []
    if 0 < most < full:
        bowls = "1 bowl" if most == 1 else f"{most} bowls"
        times = f"{full}" if most == 1 else f"{full}/{most}"
        said.append(
            f"{bowls} of each coffee, where the sheet has {full}: what a bowl loses counts {times} "
            "times, so that totals stay on the sheet's scale."
        )
    short = dict.fromkeys(
        rating.coffee.name for rating in dataset.ratings if 0 < rating.cups < most
    )
    if short:
        said.append(
            f"{', '.join(short)}: fewer bowls were judged than of the others, and each counts for "
            "more."
        )
    return tuple(said)


def _scale_warnings(dataset: Dataset, panel: PanelDraws) -> tuple[str, ...]:
    """Return in words where the lab's scale hangs by a thread."""
    said = []
    strange = [name for name in dataset.lab_settings.anchors if name not in panel.anchors]
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
        for each in find_controls(dataset)
        if each.follows and each.together < HOLDING_BOTH
    ]
    return tuple(said)


def _has_strangers(dataset: Dataset) -> bool:
    """Return whether the tasters fall into groups that share no coffee."""
    of_taster: dict[str, set[str]] = {}
    for rating in dataset.ratings:
        if rating.score.summed is not None:
            of_taster.setdefault(rating.taster, set()).add(rating.coffee.id)
    groups = list(of_taster.values())
    if not groups:
        return False
    reached = set(groups[0])
    for _ in groups:
        reached = reached.union(*(group for group in groups if group & reached))
    return any(not group & reached for group in groups)
