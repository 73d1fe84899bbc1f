"""A sheet is data: its lines, rounds and classes, read from a definition and checked.

Two kinds of line are scored. A *scale* line takes one number for a place. A *cups* line takes
one word for each bowl, and each word is worth points. Two are worth nothing and never missing: a
*choice* is one word of several for a place, asked beside a scale line and only where that line got
more than its least; a *words* line is a note. The definition's version is stored with every mark.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from crustbreak.core.errors import Problem, refuse, told
from crustbreak.domain.sheets.shapes import misshapen

Kind = Literal["scale", "cups", "choice", "words"]

# Only these count.
SCORED: tuple[Kind, ...] = ("scale", "cups")
# These take a word that the sheet gives.
WORDED: tuple[Kind, ...] = ("cups", "choice")
KINDS: tuple[Kind, ...] = ("scale", "cups", "choice", "words")


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """A word that a bowl or a place can get, and what it is worth.

    said:    how one bowl is spoken of ("uneven").
    points:  what the bowl gives, or takes when negative; zero for a word of a choice.
    """

    id: str
    said: str
    points: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One thing that is judged.

    round:      id of the round in which it is asked; empty for a words line, open in every one.
    least, most, step:  the scale, in the sheet's points; zero where there is none.
    anchors:    a word for some whole points of the scale.
    options:    for a cups line, the usual one first; for a choice, as offered; empty otherwise.
    all_alike:  what the key says that gives every bowl the usual word; empty otherwise.
    penalty:    taken off after the lines are summed, and shown apart.
    compares:   a bowl is held against the others of its code: one alone is not asked about.
    beside:     for a choice, id of the scale line that it tells more about; empty otherwise.
    """

    id: str
    title: str
    kind: Kind
    round: str
    least: float
    most: float
    step: float
    anchors: Mapping[float, str]
    options: tuple[Option, ...]
    all_alike: str
    penalty: bool
    compares: bool = False
    beside: str = ""

    def option(self, option_id: object) -> Option | None:
        """Return the option with this id, or None."""
        return next((option for option in self.options if option.id == option_id), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """A pass over all cups.

    say:  what to do, and at what warmth, as a short sentence.
    """

    id: str
    title: str
    say: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ScoreClass:
    """A named band of totals, from `least` up to the next one."""

    least: float
    title: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """What is scored, in which order, and what it adds up to.

    cups:     bowls under one code for which the points of the cups lines hold; of fewer bowls each
              counts for more, so that the line is worth the same.
    classes:  from the highest down.
    source:   where the definition comes from, as in docs/sources.md.
    """

    id: str
    version: int
    title: str
    source: str
    cups: int
    rounds: tuple[Round, ...]
    lines: tuple[Line, ...]
    classes: tuple[ScoreClass, ...]

    @property
    def ref(self) -> str:
        """Sheet and version in one word, as stored with every mark."""
        return f"{self.id}/{self.version}"

    def asked(self, line: Line, bowls: int) -> bool:
        """Return whether a line is asked about so many bowls under a code."""
        return bowls > 1 or not line.compares

    @property
    def scored(self) -> tuple[Line, ...]:
        """The lines that count, in the order in which they are asked."""
        return tuple(line for line in self.lines if line.kind in SCORED)

    def beside(self, line: Line) -> tuple[Line, ...]:
        """The choices that are asked beside a line, in their order."""
        return tuple(each for each in self.lines if each.beside == line.id)

    def line(self, line_id: str | None) -> Line | None:
        """Return the line with this id, or None."""
        return next((line for line in self.lines if line.id == line_id), None)


def read_sheet(definition: Mapping[str, Any], *, name: str) -> Sheet:
    """Make a sheet from its definition.

    Args:    definition: the parsed file. name: the file's name, for messages.
    Raises:  Unacceptable, with every fault of the definition.
    """
    refuse(f"The sheet {name}", misshapen(definition, name))
    rounds = tuple(Round(**each) for each in definition["rounds"])
    lines = tuple(_read_line(each) for each in definition["lines"])
    classes = tuple(ScoreClass(**each) for each in definition.get("classes", ()))
    refuse(
        f"The sheet {name}",
        (
            *_twice(rounds, f"{name}, rounds"),
            *_twice(lines, f"{name}, lines"),
            *(fault for line in lines for fault in _unsound_line(line, rounds, name)),
            *(fault for line in lines for fault in _unsound_choice(line, lines, name)),
            *_unsound(classes, name),
        ),
    )
    return Sheet(
        id=definition["id"],
        version=definition["version"],
        title=definition["title"],
        source=definition["source"],
        cups=definition["cups"],
        rounds=rounds,
        lines=lines,
        classes=classes,
    )


def _read_line(line: Mapping[str, Any]) -> Line:
    return Line(
        id=line["id"],
        title=line["title"],
        kind=line["kind"],
        round=line.get("round", ""),
        least=float(line.get("least", 0)),
        most=float(line.get("most", 0)),
        step=float(line.get("step", 0)),
        anchors={float(point): word for point, word in line.get("anchors", {}).items()},
        options=tuple(Option(**option) for option in line.get("options", ())),
        all_alike=line.get("all_alike", ""),
        penalty=line.get("penalty", False),
        compares=line.get("compares", False),
        beside=line.get("beside", ""),
    )


def _twice(
    named: Sequence[Line] | Sequence[Round] | Sequence[Option], where: str
) -> tuple[Problem, ...]:
    ids = [each.id for each in named]
    return tuple(
        Problem(where=where, rule="each id stands once", found=told(one), remedy="Rename one.")
        for one in dict.fromkeys(ids)
        if ids.count(one) > 1
    )


def _unsound_line(line: Line, rounds: Sequence[Round], name: str) -> tuple[Problem, ...]:
    where = f"{name}, line {told(line.id)}"
    known = sorted(each.id for each in rounds)
    rules = (
        (
            line.kind in KINDS,
            f"its kind is one of {', '.join(KINDS)}",
            line.kind,
            "Name a kind that there is.",
        ),
        (
            line.round in known or (line.kind == "words" and not line.round),
            "it is asked in a round of the sheet",
            line.round or "none",
            f"Name one of {', '.join(known)}.",
        ),
        (
            line.kind != "scale" or _goes_up(line),
            "its scale goes up in steps that fill it",
            f"{line.least:g} to {line.most:g} by {line.step:g}",
            "Give least, most and a step such as 1, 0.5 or 0.25.",
        ),
        (
            all(line.least <= point <= line.most for point in line.anchors),
            "its words stand on its scale",
            ", ".join(f"{point:g}" for point in line.anchors),
            "Put each word at a point from least to most.",
        ),
        (
            (len(line.options) > 1) == (line.kind in WORDED) or line.kind not in KINDS,
            "a line of bowls or a choice, and no other, has two options at least",
            str(len(line.options)),
            "Add options, or make it a line of bowls or a choice.",
        ),
    )
    faults = (
        Problem(where=where, rule=rule, found=told(found), remedy=remedy)
        for holds, rule, found, remedy in rules
        if not holds
    )
    return (*faults, *_twice(line.options, where))


def _unsound_choice(line: Line, lines: Sequence[Line], name: str) -> tuple[Problem, ...]:
    if line.kind != "choice" and not line.beside:
        return ()
    scales = sorted(each.id for each in lines if each.kind == "scale" and each.round == line.round)
    if line.kind == "choice" and line.beside in scales:
        return ()
    return (
        Problem(
            where=f"{name}, line {told(line.id)}",
            rule="a choice, and no other, stands beside a scale of its round",
            found=told(line.beside or "none"),
            remedy=f"Make it a choice beside one of: {', '.join(scales) or 'a new scale'}.",
        ),
    )


def _goes_up(line: Line) -> bool:
    # A tenth is not exact in binary, and what a phone adds up from it misses its own points.
    return line.step > 0 and line.most > line.least and (line.most - line.least) % line.step == 0


def _unsound(classes: Sequence[ScoreClass], name: str) -> tuple[Problem, ...]:
    bounds = [each.least for each in classes]
    if bounds == sorted(set(bounds), reverse=True):
        return ()
    return (
        Problem(
            where=f"{name}, classes",
            rule="they go from the highest down",
            found=told(", ".join(f"{bound:g}" for bound in bounds)),
            remedy="Put them in order.",
        ),
    )
