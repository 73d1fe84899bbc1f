"""The two ways in which something is wrong.

A fault in what someone gave is a `Problem`, a value: checks return all of them, and what was
given is kept. A thing that cannot go on raises a child of `CrustbreakError`, which every edge
turns into a page, a JSON answer or two lines on stderr.
"""

from dataclasses import dataclass
from difflib import get_close_matches
from typing import ClassVar

# Enough to know again what one typed, in a sentence on a phone.
TOLD_LENGTH = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One fault in something given.

    where:   the lot, cup, line or field it is about, in the user's words.
    rule:    the rule that was not met.
    found:   what was there instead.
    remedy:  the next step, as a sentence with a verb.
    """

    where: str
    rule: str
    found: str
    remedy: str

    def __str__(self) -> str:
        return f"{self.where}: {self.rule}; found {self.found}. {self.remedy}"


class CrustbreakError(Exception):
    """Something that cannot go on, said in one line, with a hint for the next step.

    status: the HTTP status a web edge answers with.
    """

    status: ClassVar[int] = 400

    def __init__(self, message: str, *, hint: str, problems: tuple[Problem, ...] = ()) -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint
        self.problems = problems


class OutOfRange(CrustbreakError):
    """A number outside the range for which a formula or scale holds."""


class Unacceptable(CrustbreakError):
    """What was given has faults; `problems` names every one of them."""

    status = 422


class NotNow(CrustbreakError):
    """The table is in a state that does not allow this."""

    status = 409


class NotYours(CrustbreakError):
    """This role may not know or do this, or not yet."""

    status = 403


class NotThere(CrustbreakError):
    """No such table, seat, coffee or page."""

    status = 404


def refuse(what: str, problems: tuple[Problem, ...]) -> None:
    """Raise `Unacceptable` with all problems, or do nothing when there are none."""
    if problems:
        raise Unacceptable(
            f"{what} has {len(problems)} thing{'s' if len(problems) > 1 else ''} to mend.",
            hint=problems[0].remedy,
            problems=problems,
        )


def told(found: object) -> str:
    """Return in words what was found, in one short line and whatever it is.

    >>> told("bitter"), told(True), told(None)
    ('bitter', 'True', 'nothing')
    """
    if found is None or found == "":
        return "nothing"
    try:
        text = found if isinstance(found, str) else repr(found)
    except (ValueError, RecursionError):
        # A number of thousands of digits, or lists in lists without end.
        return f"{type(found).__name__}, too long to write"
    line = "".join(sign if sign.isprintable() else "?" for sign in text[: TOLD_LENGTH + 1])
    return line if len(line) <= TOLD_LENGTH else f"{line[:TOLD_LENGTH]}..."


def nearest_word(word: str, known: tuple[str, ...]) -> str:
    """Return the known word nearest to what was typed, as a hint, or the whole list."""
    near = get_close_matches(word, known, n=1)
    return f"Did you mean {near[0]}?" if near else f"Known here: {', '.join(known)}."
