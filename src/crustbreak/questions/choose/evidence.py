"""What the marks say about which coffee is worth buying, and how surely."""

from dataclasses import dataclass

from crustbreak.analysis.controls import ControlFinding, find_controls
from crustbreak.analysis.dataset import Frame, Look
from crustbreak.analysis.duplicates import Double, find_doubles
from crustbreak.analysis.next_test import NextTest, weigh_tests
from crustbreak.analysis.panel import draw_panel
from crustbreak.analysis.uncertainty import CoffeeSure, HowSure, say_few_bowls, say_how_sure
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
    code:     under which it stood for this look: a coffee can stand under two.
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
    doubles:      coffees that stood under two codes, and how alike they were tasted.
    next_test:    whether more tasting is worth its time.
    currency:     of the prices.
    """

    cut_off: float
    how_sure: str
    tasters: tuple[str, ...]
    coffees: tuple[CoffeeFinding, ...]
    sure: HowSure | None
    rule: tuple[float, float]
    suggestions: tuple[Suggestion, ...]
    next_test: NextTest | None
    doubles: tuple[Double, ...] = ()
    controls: tuple[ControlFinding, ...] = ()
    currency: str = ""


def weigh_choice(frame: Frame) -> ChooseEvidence:
    """Say what the table found of each coffee, and how sure that is.

    Question answered: which coffees lie over the cut-off, which is better, by how much, how
    surely, and what would settle the rest. Assumes one code a coffee; five bowls under a code
    are one look. Not for coffees of several kinds at one table.
    """
    found = {coffee.name: _find(coffee, frame) for coffee in frame.coffees}
    sure, following, panel = None, None, None
    order = sorted(found, key=lambda name: -_mean(found[name]))
    if frame.priors is not None:
        panel = draw_panel(frame, frame.priors)
        sure = say_how_sure(frame, frame.priors, panel)
        following = weigh_tests(frame, panel)
        order = [each.coffee for each in sure.coffees]
    # Of a coffee without a whole sheet nothing is known but what is known of all.
    order.sort(key=lambda name: found[name].total is None)
    return ChooseEvidence(
        cut_off=frame.cut_off,
        how_sure=" ".join((_say_look(sure), *(() if sure else say_few_bowls(frame)))),
        tasters=tuple(dict.fromkeys(look.taster for look in frame.looks)),
        coffees=tuple(found[name] for name in order),
        sure=sure,
        rule=(BUY_FROM, DECLINE_TO),
        suggestions=tuple(
            _suggest(each)
            for each in (sure.coffees if sure else ())
            if found[each.coffee].total is not None
        ),
        next_test=following,
        doubles=find_doubles(frame, panel),
        controls=find_controls(frame),
        currency=frame.house.currency,
    )


def _say_look(sure: HowSure | None) -> str:
    if sure is None:
        return "not computed: nothing is assumed of this sheet's points"
    return f"one taster's look, give or take {sure.look:.1f}"


def _mean(found: CoffeeFinding) -> float:
    return found.total.mean if found.total else float("-inf")


def _suggest(each: CoffeeSure) -> Suggestion:
    word = "look again"
    if each.over >= BUY_FROM:
        word = "buy"
    if each.over <= DECLINE_TO:
        word = "decline"
    return Suggestion(coffee=each.coffee, word=word, chance=each.over)


def _find(coffee: Coffee, frame: Frame) -> CoffeeFinding:
    looks = frame.looks_at(coffee)
    cups = {look.code: look.cups for look in looks}
    total = spread_of([look.score.total for look in looks if look.score.total is not None])
    penalties = [line.id for line in frame.sheet.scored if line.penalty]
    return CoffeeFinding(
        coffee=coffee.name,
        code=" and ".join(sorted(cups)),
        total=total,
        title=name_class(total.mean if total else None, frame.sheet),
        over=total.mean - frame.cut_off if total else None,
        bowls=sum(cups.values()),
        bad_bowls=len(
            {
                (look.code, cup)
                for look in looks
                for line in penalties
                for cup in look.score.flagged.get(line, ())
            }
        ),
        judged=sum(all(line in look.score.lines for line in penalties) for look in looks),
        tasters=tuple(_taster(look, frame.sheet) for look in looks),
        lines=tuple(_line(line, looks) for line in frame.sheet.scored),
        price=coffee.price,
        kilos=coffee.kilos,
    )


def _line(line: Line, looks: tuple[Look, ...]) -> LineFinding:
    points = tuple(look.score.lines.get(line.id) for look in looks)
    return LineFinding(
        title=line.title,
        points=points,
        spread=spread_of([point for point in points if point is not None]),
        penalty=line.penalty,
    )


def _taster(look: Look, sheet: Sheet) -> TasterFinding:
    titles = {line.id: line.title for line in sheet.lines}
    return TasterFinding(
        taster=look.taster,
        code=look.code,
        total=look.score.total,
        missing=tuple(titles[line] for line in look.score.missing),
        flagged=_said(look, sheet),
        notes=tuple(
            look.score.notes[each.id] for each in sheet.rounds if look.score.notes.get(each.id)
        ),
        call=look.call,
        new_calls=look.new_calls,
    )


def _said(look: Look, sheet: Sheet) -> tuple[str, ...]:
    return tuple(
        f"bowl {cup} {option.said}"
        for line in sheet.scored
        for cup, word in sorted(look.score.flagged.get(line.id, {}).items())
        if (option := line.option(word))
    )
