"""What bowls held against an open one say: is it the same coffee, and how surely."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from crustbreak.analysis.dataset import Dataset, Rating
from crustbreak.domain.planning.plan_request import as_compared
from crustbreak.domain.sheets.definition import Sheet
from crustbreak.numerics.permutation import TIE, Difference, Stratum, compare_groups
from crustbreak.numerics.ratings import Numbers
from crustbreak.questions.match.bowl_ratings import (
    COMPARED,
    CONTROL,
    MatchDraws,
    draw_match,
    mark_of,
    sittings_of,
    spreads_of,
    strata_of,
)
from crustbreak.questions.match.decision_rule import (
    decide_word,
    sittings_to_settle,
    way_of,
)
from crustbreak.questions.match.definition import CANNOT_TELL, MatchAsked, fewest_bowls, level_of

# Luck puts the control's own bowls so far off the open one, beside the others, at most so often: it
# is said then that bowls may be mixed up. Our judgement, and no part of the rule.
MIXED_UP = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """A figure, and the bounds that hold it with 90 in 100."""

    mean: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BowlMark:
    """What one taster said of one bowl.

    value:               points from the open bowl; None where nothing was said.
    direction, differs:  as the sheet says the words; empty where none was given.
    """

    taster: str
    value: float | None
    direction: str
    differs: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BowlFinding:
    """One bowl of one sitting, from 1."""

    sitting: int
    code: str
    is_candidate: bool
    marks: tuple[BowlMark, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TasterCall:
    """What a taster called before the names."""

    taster: str
    word: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MatchEvidence:
    """Is the candidate the control?

    within:         d, points. certainty: as asked for.
    look:           which look at this answer it is; level: the chance of a false word that it may
                    take; claimed: "same" is said from this chance on.
    tasters:        of all sittings.
    difference:     mean over tasters of candidate less control; None where it cannot be worked
                    out. low, high: by the permutation, each side at the level; None likewise.
    chance:         of parting so far by luck, one-sided, in so many ways.
    sure:           the same difference by all that is known of the tasters; None without priors.
    within_chance:  that it lies at most at d; whose: whose difference it is, in words.
    own_error:      deviation of one taster's mark of one bowl.
    tables_before:  of other answers, that say how the tasters spread.
    effective, shape:  how evenly the spreads were drawn.
    better, worse:  marks of the candidate's bowls that went that way.
    suggestion:     a verdict, by the rule; more: how many further bowls would settle it; None where
                    none do, or it is settled.
    warnings:       what to keep in mind, as sentences.
    """

    control: str
    candidate: str
    within: float
    certainty: float
    look: int
    level: float
    claimed: float
    tasters: tuple[str, ...]
    difference: float | None
    low: float | None
    high: float | None
    chance: float | None
    ways: int
    is_exact: bool
    sure: Held | None
    within_chance: float | None
    whose: str
    own_error: Held | None
    tables_before: int
    effective: float | None
    shape: float | None
    bowls: tuple[BowlFinding, ...]
    better: int
    worse: int
    calls: tuple[TasterCall, ...]
    suggestion: str
    more: int | None
    warnings: tuple[str, ...]


def match_evidence(dataset: Dataset) -> MatchEvidence:
    """Return in words whether the second coffee of a table is the first, and how surely.

    Question answered: does it lie within d, does it lie further off than luck would put it, and
    how many more bowls would tell. The first coffee is the control. All sittings of one answer
    count, each look at its own level. Assumes that bowls were shuffled, and that every mark is held
    against the open bowl.
    """
    sittings = sittings_of(dataset)
    certainty = MatchAsked.restore(dataset.asked).certainty
    # What the first of them adds to can be too long ago to be among them, and was a look all the
    # same.
    look = len(sittings) + bool(sittings[0].follows)
    level = level_of(certainty, look)
    strata = strata_of(sittings)
    found = compare_groups(strata, level=level, seed=dataset.seed)
    draws = None
    if dataset.priors is not None and found is not None:
        draws = draw_match(dataset, sittings, dataset.priors)
    bowls = tuple(
        bowl for nth, each in enumerate(sittings, start=1) for bowl in _bowls(each, sitting=nth)
    )
    better, worse = (_went(bowls, way) for way in ("better", "worse"))
    within_chance = (
        round(float(np.mean(draws.detectable_difference <= dataset.cut_off)), 4) if draws else None
    )
    word = decide_word(
        within_chance=within_chance,
        chance=found.chance if found else None,
        level=level,
        way=way_of(better, worse),
    )
    tasters = _names(sittings)
    return MatchEvidence(
        control=dataset.coffees[CONTROL].name,
        candidate=dataset.coffees[COMPARED].name,
        within=dataset.cut_off,
        certainty=certainty,
        look=look,
        level=level,
        claimed=round(1 - level, 6),
        tasters=tasters,
        difference=round(found.mean, 4) if found else None,
        low=_rounded(found.low) if found else None,
        high=_rounded(found.high) if found else None,
        chance=round(found.chance, 6) if found else None,
        ways=found.ways if found else 0,
        is_exact=found.is_exact if found else True,
        sure=_held(draws.detectable_difference) if draws else None,
        within_chance=within_chance,
        whose=_whose(tasters),
        own_error=_held(draws.errors) if draws else None,
        tables_before=draws.tables if draws else 0,
        effective=round(draws.posterior.effective, 4) if draws else None,
        shape=round(draws.posterior.shape, 4) if draws else None,
        bowls=bowls,
        better=better,
        worse=worse,
        calls=tuple(
            TasterCall(taster=name, word=word)
            for name, word in {rating.taster: rating.call for rating in dataset.ratings}.items()
        ),
        suggestion=word,
        more=_more(dataset, sittings, draws, certainty) if draws and word == CANNOT_TELL else None,
        warnings=(
            *_warn(dataset, bowls, found),
            *_warn_of_control(dataset, strata, found),
            *(draws.posterior.warnings if draws else ()),
        ),
    )


def _held(draws: Numbers) -> Held:
    low, high = np.quantile(draws, (0.05, 0.95))
    return Held(
        mean=round(float(np.mean(draws)), 4),
        low=round(float(low), 4),
        high=round(float(high), 4),
    )


def _rounded(figure: float | None) -> float | None:
    return None if figure is None else round(figure, 4)


def _names(sittings: Sequence[Dataset]) -> tuple[str, ...]:
    named = {
        as_compared(rating.taster): rating.taster for each in sittings for rating in each.ratings
    }
    return tuple(named.values())


def _whose(tasters: Sequence[str]) -> str:
    if not tasters:
        return "to nobody"
    return f"to {tasters[0]}" if len(tasters) == 1 else "to tasters like these"


def _bowls(dataset: Dataset, *, sitting: int) -> list[BowlFinding]:
    ratings: dict[str, list[Rating]] = {}
    for rating in dataset.ratings:
        ratings.setdefault(rating.code, []).append(rating)
    return [
        BowlFinding(
            sitting=sitting,
            code=code,
            is_candidate=of_code[0].coffee == dataset.coffees[COMPARED],
            marks=tuple(_mark(rating, dataset.sheet) for rating in of_code),
        )
        for code, of_code in ratings.items()
    ]


def _mark(rating: Rating, sheet: Sheet) -> BowlMark:
    return BowlMark(
        taster=rating.taster,
        value=mark_of(rating),
        direction=_word(rating, sheet, "direction"),
        differs=_word(rating, sheet, "differs"),
        notes=tuple(rating.score.notes.values()),
    )


def _word(rating: Rating, sheet: Sheet, line_id: str) -> str:
    line = sheet.line(line_id)
    option = line.option(rating.score.words.get(line_id)) if line else None
    return option.said if option else ""


def _went(bowls: Sequence[BowlFinding], way: str) -> int:
    return sum(mark.direction == way for bowl in bowls if bowl.is_candidate for mark in bowl.marks)


def _more(
    dataset: Dataset, sittings: Sequence[Dataset], draws: MatchDraws, certainty: float
) -> int | None:
    """Return how many further bowls settle it, the open ones with them."""
    # Of bowls that could not be read the plan had as many as it takes.
    fewest = fewest_bowls(certainty)
    bowls = [*(max(1, _codes_of(each)) for each in sittings[:-1])]
    bowls.append(max(fewest, _codes_of(sittings[-1])))
    sets = sittings_to_settle(
        gap=float(np.mean(draws.detectable_difference)),
        spreads=spreads_of(draws.posterior),
        bowls=bowls,
        tasters=len({rating.taster for rating in dataset.ratings}) or 1,
        within=dataset.cut_off,
        certainty=certainty,
    )
    return None if sets is None else sets * (2 * bowls[-1] + 1)


def _codes_of(dataset: Dataset) -> int:
    """Return how many bowls of the compared coffee were there to be marked."""
    return len(
        {rating.code for rating in dataset.ratings if rating.coffee == dataset.coffees[COMPARED]}
    )


def _warn(
    dataset: Dataset, bowls: Sequence[BowlFinding], found: Difference | None
) -> tuple[str, ...]:
    missing = sum(mark.value is None for bowl in bowls for mark in bowl.marks)
    warnings = []
    if missing:
        said = "1 bowl was" if missing == 1 else f"{missing} bowls were"
        warnings.append(f"{said} not marked by somebody; the rest counts.")
    if found is not None and found.low is None:
        warnings.append(
            "So few bowls can stand in so few ways that luck cannot be ruled out at this look: "
            "more bowls are needed before it can be called different."
        )
    if any(rating.taster for rating in dataset.ratings) and found is None:
        warnings.append("No taster has marked bowls of both coffees.")
    return tuple(warnings)


def _warn_of_control(
    dataset: Dataset, strata: Sequence[Stratum], found: Difference | None
) -> tuple[str, ...]:
    """Return in words where the control's own blind bowls make "same" a word that tells nothing.

    The rule asks one side only, since the open bowl is the control; and a scale that has ended
    shows no difference.
    """
    if found is None:
        return ()
    warnings = []
    if found.mean < 0 and _control_off_by_luck(strata, dataset.seed) <= MIXED_UP + TIE:
        warnings.append(
            "The control's own blind bowls lie further from the open one than the other coffee's, "
            f"and luck puts them there at most once in {1 / MIXED_UP:.0f}. Look whether bowls were "
            "mixed up, the open one among them: if they were, \u201csame\u201d is not to be "
            "believed."
        )
    marks = np.concatenate([each.values[:, each.treated == 0].ravel() for each in strata])
    mean, most = float(np.nanmean(marks)), dataset.sheet.scored[0].most
    if mean + dataset.cut_off > most + TIE:
        warnings.append(
            f"The control's own blind bowls lie {mean:.1f} from the open one on average. So near "
            f"to the end of the scale a difference of {dataset.cut_off:g} more cannot be marked, "
            f"and "
            "\u201csame\u201d says little."
        )
    return tuple(warnings)


def _control_off_by_luck(strata: Sequence[Stratum], seed: int) -> float:
    turned = [replace(each, treated=each.treated == 0) for each in strata]
    found = compare_groups(turned, level=MIXED_UP, seed=seed)
    return 1.0 if found is None else found.chance
