"""What the marks say about which coffee is worth buying.

So far it says what was tasted and how far the tasters lie apart. How sure that makes anyone is
not computed, and says so: a mean of three tasters is not three times as true.
"""

from dataclasses import dataclass

from crustbreak.analysis.frames import Frame, Look
from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.sheets.definition import Line, Sheet
from crustbreak.domain.sheets.scoring import name_class
from crustbreak.numerics.spread import Spread, spread_of

HOW_SURE = "not computed yet"


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
    """

    taster: str
    total: float | None
    missing: tuple[str, ...]
    flagged: tuple[str, ...]
    notes: tuple[str, ...]
    call: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CoffeeFinding:
    """What the table says of one coffee.

    total:      spread of the tasters' totals, points; None without a complete sheet.
    title:      class of the mean total.
    over:       mean total less the cut-off, points.
    bad_bowls:  bowls that anyone flagged as tainted or faulty, of `bowls`.
    judged:     how many tasters judged every bowl for taints and faults.
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


@dataclass(frozen=True, slots=True, kw_only=True)
class ChooseEvidence:
    """Coffees from the highest mean total down; those without a total last."""

    cut_off: float
    how_sure: str
    tasters: tuple[str, ...]
    coffees: tuple[CoffeeFinding, ...]


def weigh_choice(frame: Frame) -> ChooseEvidence:
    """Say what the table found of each coffee.

    Question answered: what was tasted. Assumes one code a coffee; five bowls under a code are
    one look. Not for ranking coffees whose means lie close: how sure is not computed.
    """
    found = [_find(coffee, frame) for coffee in frame.coffees]
    found.sort(key=lambda each: -each.total.mean if each.total else float("inf"))
    tasters = tuple(dict.fromkeys(look.taster for look in frame.looks))
    return ChooseEvidence(
        cut_off=frame.cut_off, how_sure=HOW_SURE, tasters=tasters, coffees=tuple(found)
    )


def _find(coffee: Coffee, frame: Frame) -> CoffeeFinding:
    looks = frame.looks_at(coffee)
    total = spread_of([look.score.total for look in looks if look.score.total is not None])
    penalties = [line.id for line in frame.sheet.scored if line.penalty]
    return CoffeeFinding(
        coffee=coffee.name,
        code=looks[0].code,
        total=total,
        title=name_class(total.mean if total else None, frame.sheet),
        over=total.mean - frame.cut_off if total else None,
        bowls=looks[0].cups,
        bad_bowls=len(
            {
                cup
                for look in looks
                for line in penalties
                for cup in look.score.flagged.get(line, ())
            }
        ),
        judged=sum(all(line in look.score.lines for line in penalties) for look in looks),
        tasters=tuple(_taster(look, frame.sheet) for look in looks),
        lines=tuple(_line(line, looks) for line in frame.sheet.scored),
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
        total=look.score.total,
        missing=tuple(titles[line] for line in look.score.missing),
        flagged=_said(look, sheet),
        notes=tuple(
            look.score.notes[each.id] for each in sheet.rounds if look.score.notes.get(each.id)
        ),
        call=look.call,
    )


def _said(look: Look, sheet: Sheet) -> tuple[str, ...]:
    return tuple(
        f"bowl {cup} {option.said}"
        for line in sheet.scored
        for cup, word in sorted(look.score.flagged.get(line.id, {}).items())
        if (option := line.option(word))
    )
