"""What a document is made of, whatever form it takes: page, PDF or terminal.

A question's papers are written once, as these blocks; each form draws every block in its way.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal


@dataclass(frozen=True, slots=True)
class Run:
    """Some text in one weight."""

    text: str
    strong: bool = False


Words = tuple[Run, ...]


def words(*pieces: str | Run) -> Words:
    """Put text and emphasis in a row; what is empty is left out.

    >>> words("Reason: ", strong("the best"), "")
    (Run(text='Reason: ', strong=False), Run(text='the best', strong=True))
    """
    runs = (Run(piece) if isinstance(piece, str) else piece for piece in pieces)
    return tuple(run for run in runs if run.text)


def strong(text: str) -> Run:
    """Return text its weight."""
    return Run(text, strong=True)


@dataclass(frozen=True, slots=True)
class Text:
    """A paragraph.

    kind:  `lead` is the sentence of the whole, `small` explains, `warned` is not to be missed.
    """

    words: Words
    kind: Literal["plain", "lead", "small", "warned"] = "plain"


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading within a part, and what its reader should know of what follows."""

    text: str
    small: str = ""


@dataclass(frozen=True, slots=True)
class Items:
    """Sentences one below the other."""

    items: tuple[Words, ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """A table: the first column names its row.

    shown:  the caption is read by everybody, and not only by a screen reader.
    sums:   rows that sum up the ones above them.
    """

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[Words, ...], ...]
    shown: bool = False
    sums: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Chart:
    """A picture, and what it says for whoever does not see it.

    drawn:  Vega-Lite specs of the same picture: `wide` and `narrow` for a page, `paper` for a
            sheet. Colours are the names of `PAINT`.
    said:   one sentence for each thing drawn.
    """

    title: str
    drawn: Mapping[str, dict[str, Any]]
    said: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Disclosure:
    """Blocks that a reader opens; a sheet of paper shows them open."""

    summary: str
    blocks: "tuple[Block, ...]"


Block = Text | Heading | Items | Grid | Chart | Disclosure


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a document under its title.

    wide:  it takes the whole width; its title stands above it.
    """

    title: str
    blocks: tuple[Block, ...]
    wide: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A whole document.

    kind, about:   what it is ("Decision memo"), and of which table.
    house, day:    who wrote it, and when it was decided, as said on it.
    at:            the same moment, as stored; the PDF's date.
    finding:       the whole in a sentence or a few.
    signs:         who signs, as written below the line.
    foot:          what stands at the end of every page.
    annex:         parts for a page and a terminal; on paper they would bury the rest.
    """

    kind: str
    about: str
    lab: str
    day: str
    at: str
    finding: str
    parts: tuple[Part, ...]
    signs: tuple[str, ...]
    foot: str
    annex: tuple[Part, ...] = ()
