"""What a sheet adds up to."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field

from crustbreak.domain.records.marks import Mark
from crustbreak.domain.records.tables import Place
from crustbreak.domain.sheets.definition import Line, Option, Sheet


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """One taster's score of one place.

    lines:    line id to points; a line without all its marks is absent.
    missing:  ids of the lines without all their marks.
    summed:   sum of the lines before the penalty, points; None while a line is missing.
    penalty:  what is taken off, points, zero or more; None while a line is missing.
    total:    summed less penalty, points; None while a line is missing.
    title:    the class of the total; None without a total or below every class.
    flagged:  line id to {bowl: option id} for each bowl that did not get the usual word.
    notes:    round id to text.
    words:    id of a choice to the word that was chosen, where the line beside it got more than its
              least.
    bowls:    numbers of the bowls that count.
    """

    lines: Mapping[str, float]
    missing: tuple[str, ...]
    summed: float | None
    penalty: float | None
    total: float | None
    title: str | None
    flagged: Mapping[str, Mapping[int, str]]
    notes: Mapping[str, str]
    bowls: tuple[int, ...] = ()
    words: Mapping[str, str] = field(default_factory=dict)


def score_place(
    marks: Iterable[Mark], sheet: Sheet, place: Place, *, bowls: Collection[int] | None = None
) -> Score:
    """Score one place from one taster's current marks of it.

    The total is the sum of the lines less the penalty lines. On the ten-line sheet that is
    seven quality lines, three lines of five bowls at two points each, and taints and faults at
    two and four points a bowl. Where the printed form has one intensity for all bad cups of a
    coffee, each bowl has its own here; with one intensity the two agree.

    Where fewer bowls count than the sheet is made for, each counts for more by as much: of three
    bowls each loses 5/3 of what one of five would, so that totals stay on one scale. A line that
    compares bowls with each other has nothing to lose where there is one alone.

    Args:     marks: at most one for a line, bowl and round; later rounds outrank earlier ones.
              bowls: numbers of those that count; all of the place where not given. Without any,
              the lines of bowls are missing.
    Returns:  the score, in points. A missing line leaves the total open: never a guess.
    Source:   [S1].
    """
    mine = _by_round([mark for mark in marks if mark.place_id == place.id], sheet)
    counted = _counted(place, bowls)
    lines: dict[str, float] = {}
    missing: list[str] = []
    for line in sheet.scored:
        found = [mark for mark in mine if mark.line == line.id]
        worth = _worth(line, found, sheet, counted)
        if worth is None:
            missing.append(line.id)
        else:
            lines[line.id] = worth
    penalties = {line.id for line in sheet.scored if line.penalty}
    summed = _exact(sum(worth for line, worth in lines.items() if line not in penalties))
    penalty = _exact(-sum(worth for line, worth in lines.items() if line in penalties))
    total = None if missing else _exact(summed - penalty)
    return Score(
        lines=lines,
        missing=tuple(missing),
        summed=None if missing else summed,
        penalty=None if missing else abs(penalty),
        total=total,
        title=name_class(total, sheet),
        flagged=_flagged(mine, sheet, counted),
        notes={mark.round: str(mark.value) for mark in mine if _is_note(mark, sheet)},
        bowls=counted,
        words=_words_chosen(mine, lines, sheet),
    )


def name_class(total: float | None, sheet: Sheet) -> str | None:
    """Name the band in which a total lies; None without a total or below every band."""
    if total is None:
        return None
    return next((each.title for each in sheet.classes if total >= each.least), None)


def _by_round(marks: list[Mark], sheet: Sheet) -> list[Mark]:
    """Return what was not taken back, in the order in which the sheet asks."""
    asked = {each.id: nth for nth, each in enumerate(sheet.rounds)}
    given = (mark for mark in marks if mark.value is not None)
    return sorted(given, key=lambda mark: asked.get(mark.round, -1))


def _counted(place: Place, bowls: Collection[int] | None) -> tuple[int, ...]:
    every = range(1, place.cups + 1)
    return tuple(bowl for bowl in every if bowls is None or bowl in bowls)


def _exact(points: float) -> float:
    # Quarters are exact and stay so; a third of a point is kept as evidence keeps it.
    return round(points, 4)


def _worth(line: Line, found: list[Mark], sheet: Sheet, bowls: tuple[int, ...]) -> float | None:
    if line.kind == "scale":
        return float(found[-1].value or 0) if found else None
    if not sheet.asked(line, len(bowls)):
        return line.options[0].points * sheet.cups if bowls else None
    words = _words_of_bowls(line, found, bowls)
    if not bowls or len(words) < len(bowls):
        return None
    return _exact(sum(word.points for word in words.values()) * sheet.cups / len(bowls))


def _words_of_bowls(line: Line, found: list[Mark], bowls: tuple[int, ...]) -> dict[int, Option]:
    return {
        mark.cup: option
        for mark in found
        if mark.cup in bowls and mark.cup and (option := line.option(mark.value))
    }


def _flagged(marks: list[Mark], sheet: Sheet, bowls: tuple[int, ...]) -> dict[str, dict[int, str]]:
    flagged: dict[str, dict[int, str]] = {}
    for line in sheet.scored:
        if not sheet.asked(line, len(bowls)):
            continue
        words = _words_of_bowls(line, [mark for mark in marks if mark.line == line.id], bowls)
        unusual = {cup: word.id for cup, word in sorted(words.items()) if word != line.options[0]}
        if unusual:
            flagged[line.id] = unusual
    return flagged


def _words_chosen(marks: list[Mark], points: Mapping[str, float], sheet: Sheet) -> dict[str, str]:
    """Return what was chosen, where the line beside it says that there is something to tell."""
    chosen = {}
    for line in sheet.scored:
        if points.get(line.id, line.least) <= line.least:
            continue
        for choice in sheet.beside(line):
            said = [mark.value for mark in marks if mark.line == choice.id]
            if word := choice.option(said[-1] if said else None):
                chosen[choice.id] = word.id
    return chosen


def _is_note(mark: Mark, sheet: Sheet) -> bool:
    line = sheet.line(mark.line)
    return line is not None and line.kind == "words"
