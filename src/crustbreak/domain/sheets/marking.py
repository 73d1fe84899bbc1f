"""Is this mark one that the sheet can take?"""

from crustbreak.core.errors import Problem, nearest_word, told
from crustbreak.domain.records.marks import Mark
from crustbreak.domain.records.tables import Place
from crustbreak.domain.sheets.definition import WORDED, Line, Sheet

# A note is free text; this is a page of it.
NOTE_LENGTH = 4000


def check_mark(mark: Mark, sheet: Sheet, place: Place) -> tuple[Problem, ...]:
    """Name everything that keeps a mark off the sheet; nothing when it fits."""
    line = sheet.line(mark.line)
    if line is None:
        known = tuple(each.id for each in sheet.lines)
        return (
            Problem(
                where=f"{place.code}, {told(mark.line)}",
                rule=f"the line is on the {sheet.title.lower()}",
                found=told(mark.line),
                remedy=nearest_word(told(mark.line), known),
            ),
        )
    where = f"{line.title} of {place.code}"
    return (
        *_check_round(mark, line, sheet, where),
        *_check_cup(mark, line, place, where),
        *_check_value(mark, line, where),
    )


def _check_round(mark: Mark, line: Line, sheet: Sheet, where: str) -> tuple[Problem, ...]:
    asked = {line.round} if line.round else {each.id for each in sheet.rounds}
    if mark.round in asked:
        return ()
    return (
        Problem(
            where=where,
            rule=f"it is asked in the round {' or '.join(sorted(asked))}",
            found=told(mark.round),
            remedy="Give it in that round.",
        ),
    )


def _check_cup(mark: Mark, line: Line, place: Place, where: str) -> tuple[Problem, ...]:
    if line.kind == "cups":
        holds = type(mark.cup) is int and 1 <= mark.cup <= place.cups
        rule = f"it names a bowl from 1 to {place.cups}"
    else:
        holds, rule = mark.cup is None, "it is given for the whole place, not for a bowl"
    if holds:
        return ()
    return (Problem(where=where, rule=rule, found=told(mark.cup), remedy="Name the right bowl."),)


def _check_value(mark: Mark, line: Line, where: str) -> tuple[Problem, ...]:
    if mark.value is None or _fits(mark.value, line):
        return ()
    word = (
        f"it is one of {', '.join(option.id for option in line.options)}",
        "Choose one of them.",
    )
    rule, remedy = {
        "scale": (
            f"it lies from {line.least:g} to {line.most:g} by steps of {line.step:g}",
            "Choose a point of the scale.",
        ),
        "cups": word,
        "choice": word,
        "words": (f"it is a text of at most {NOTE_LENGTH:,} characters", "Shorten it."),
    }[line.kind]
    return (Problem(where=where, rule=rule, found=told(mark.value), remedy=remedy),)


def _fits(value: object, line: Line) -> bool:
    if line.kind == "words":
        return isinstance(value, str) and len(value) <= NOTE_LENGTH
    if line.kind in WORDED:
        return line.option(value) is not None
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    # Quarters are exact in binary, so a remainder of exactly nothing is the right question.
    return line.least <= value <= line.most and (value - line.least) % line.step == 0
