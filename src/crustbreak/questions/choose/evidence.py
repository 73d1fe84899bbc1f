"""What the marks say about which coffee is worth buying, and how surely."""

from dataclasses import dataclass

from crustbreak.analysis.controls import ControlFinding, find_controls
from crustbreak.analysis.dataset import Dataset, Rating
from crustbreak.analysis.duplicates import DuplicatePair, find_duplicates
from crustbreak.analysis.next_test import NextTest, compare_tests
from crustbreak.analysis.panel import draw_panel
from crustbreak.analysis.uncertainty import (
    CoffeeUncertainty,
    Uncertainty,
    estimate_uncertainty,
    few_bowls_warnings,
)
from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.sheets.definition import Line, Sheet
from crustbreak.domain.sheets.scoring import name_class
from crustbreak.domain.tables.seats import NewCall
from crustbreak.numerics.spread import Spread, spread_of

# From this chance on that it lies over the cut-off a coffee is to be bought, and to this one
# declined; between them the table cannot tell. A rule of ours, kept with every verdict.
BUY_FROM, DECLINE_TO = 0.8, 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Suggestion:
    """What the rule says of one coffee: a word of the question's, and why.

    chance:  that it lies over the cut-off, 0 to 1.
    """

    coffee: str
    word: str
    chance: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LineFinding:
    """One line of one coffee.

    points:   each taster's, in the order of the seats; None where it is missing.
    spread:   of those that are there; None when there are none.
    penalty:  this line is taken off.
    """

    title: str
    points: tuple[float | None, ...]
    spread: Spread | None
    penalty: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TasterFinding:
    """One taster's word on one coffee.

    total:    points, None while a line is missing; `missing` names those lines.
    flagged:  what single bowls got, as sentences ("bowl 3: taint").
    notes:    texts, in the order of the rounds.
    code:     under which it stood for this rating: a coffee can stand under two.
    call, new_calls:  the verdict by code, and what was put beside it once the names were known.
    """

    taster: str
    code: str
    total: float | None
    missing: tuple[str, ...]
    flagged: tuple[str, ...]
    notes: tuple[str, ...]
    call: str | None
    new_calls: tuple[NewCall, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CoffeeFinding:
    """What the table says of one coffee.

    code:       under which it stood; "204 and 417" where it stood twice.
    total:      spread of the tasters' totals, points; None without a complete sheet.
    title:      class of the mean total.
    over:       mean total less the cut-off, points.
    bad_bowls:  bowls that anyone flagged as tainted or faulty, of `bowls`.
    judged:     how many tasters judged every bowl for taints and faults.
    price, kilos:  as planned, of a kilo and kg; None where nobody said.
    """

    coffee: str
    code: str
    total: Spread | None
    title: str | None
    over: float | None
    bowls: int
    bad_bowls: int
    judged: int
    tasters: tuple[TasterFinding, ...]
    lines: tuple[LineFinding, ...]
    price: float | None = None
    kilos: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ChooseEvidence:
    """Coffees from the highest down, by what is known of them; those without a total last.

    how_sure:     what one taster's total is worth, in words.
    sure:         how sure it is; None where the sheet has no priors.
    rule:         from which chance on the cut-off a coffee is bought, and to which declined.
    suggestions:  in the order of the coffees; none without a total.
    controls:     how the known coffee came out that measures the table.
    duplicates:      coffees that stood under two codes, and how alike they were tasted.
    next_test:    whether more tasting is worth its time.
    currency:     of the prices.
    """

    cut_off: float
    how_sure: str
    tasters: tuple[str, ...]
    coffees: tuple[CoffeeFinding, ...]
    sure: Uncertainty | None
    rule: tuple[float, float]
    suggestions: tuple[Suggestion, ...]
    next_test: NextTest | None
    doubles: tuple[DuplicatePair, ...] = ()
    controls: tuple[ControlFinding, ...] = ()
    currency: str = ""


def choice_evidence(dataset: Dataset) -> ChooseEvidence:
    """Return in words what the table found of each coffee, and how sure that is.

    Question answered: which coffees lie over the cut-off, which is better, by how much, how
    surely, and what would settle the rest. Assumes one code a coffee; five bowls under a code
    are one look. Not for coffees of several kinds at one table.
    """
    found = {coffee.name: _find(coffee, dataset) for coffee in dataset.coffees}
    sure, following, panel = None, None, None
    order = sorted(found, key=lambda name: -_mean(found[name]))
    if dataset.priors is not None:
        panel = draw_panel(dataset, dataset.priors)
        sure = estimate_uncertainty(dataset, dataset.priors, panel)
        following = compare_tests(dataset, panel)
        order = [each.coffee for each in sure.coffees]
    # Of a coffee without a whole sheet nothing is known but what is known of all.
    order.sort(key=lambda name: found[name].total is None)
    return ChooseEvidence(
        cut_off=dataset.cut_off,
        how_sure=" ".join((_look_text(sure), *(() if sure else few_bowls_warnings(dataset)))),
        tasters=tuple(dict.fromkeys(rating.taster for rating in dataset.ratings)),
        coffees=tuple(found[name] for name in order),
        sure=sure,
        rule=(BUY_FROM, DECLINE_TO),
        suggestions=tuple(
            _suggest(each)
            for each in (sure.coffees if sure else ())
            if found[each.coffee].total is not None
        ),
        next_test=following,
        doubles=find_duplicates(dataset, panel),
        controls=find_controls(dataset),
        currency=dataset.lab_settings.currency,
    )


def _look_text(sure: Uncertainty | None) -> str:
    if sure is None:
        return "not computed: nothing is assumed of this sheet's points"
    return f"one taster's look, give or take {sure.look:.1f}"


def _mean(found: CoffeeFinding) -> float:
    return found.total.mean if found.total else float("-inf")


def _suggest(each: CoffeeUncertainty) -> Suggestion:
    word = "look again"
    if each.over >= BUY_FROM:
        word = "buy"
    if each.over <= DECLINE_TO:
        word = "decline"
    return Suggestion(coffee=each.coffee, word=word, chance=each.over)


def _find(coffee: Coffee, dataset: Dataset) -> CoffeeFinding:
    ratings = dataset.ratings_of(coffee)
    cups = {rating.code: rating.cups for rating in ratings}
    total = spread_of([rating.score.total for rating in ratings if rating.score.total is not None])
    penalties = [line.id for line in dataset.sheet.scored if line.penalty]
    return CoffeeFinding(
        coffee=coffee.name,
        code=" and ".join(sorted(cups)),
        total=total,
        title=name_class(total.mean if total else None, dataset.sheet),
        over=total.mean - dataset.cut_off if total else None,
        bowls=sum(cups.values()),
        bad_bowls=len(
            {
                (rating.code, cup)
                for rating in ratings
                for line in penalties
                for cup in rating.score.flagged.get(line, ())
            }
        ),
        judged=sum(all(line in rating.score.lines for line in penalties) for rating in ratings),
        tasters=tuple(_taster(rating, dataset.sheet) for rating in ratings),
        lines=tuple(_line(line, ratings) for line in dataset.sheet.scored),
        price=coffee.price,
        kilos=coffee.kilos,
    )


def _line(line: Line, ratings: tuple[Rating, ...]) -> LineFinding:
    points = tuple(rating.score.lines.get(line.id) for rating in ratings)
    return LineFinding(
        title=line.title,
        points=points,
        spread=spread_of([point for point in points if point is not None]),
        penalty=line.penalty,
    )


def _taster(rating: Rating, sheet: Sheet) -> TasterFinding:
    titles = {line.id: line.title for line in sheet.lines}
    return TasterFinding(
        taster=rating.taster,
        code=rating.code,
        total=rating.score.total,
        missing=tuple(titles[line] for line in rating.score.missing),
        flagged=_said(rating, sheet),
        notes=tuple(
            rating.score.notes[each.id] for each in sheet.rounds if rating.score.notes.get(each.id)
        ),
        call=rating.call,
        new_calls=rating.new_calls,
    )


def _said(rating: Rating, sheet: Sheet) -> tuple[str, ...]:
    return tuple(
        f"bowl {cup} {option.said}"
        for line in sheet.scored
        for cup, word in sorted(rating.score.flagged.get(line.id, {}).items())
        if (option := line.option(word))
    )
