"""Paper sheets as PDF, for tasters without a phone: line after line, with all codes beside it.

They show what the phone app may know and nothing else: codes, lines, the taster's own name. What is
written on them is typed in at the taster's seat.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from crustbreak.core.units import CAFFEINE_DAY_MG, TASTE_BELOW_C
from crustbreak.domain.records.tables import Place
from crustbreak.domain.sheets.definition import Line, Round, Sheet
from crustbreak.reports.cards.cards import PageSize, Printed, printed_data
from crustbreak.reports.render.pdf import typeset

# More codes side by side leave no room for a pencil.
MOST_ABREAST = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperSeat:
    """Whose sheet it is.

    code:    the seat's paper code, by which it is typed in as the right taster's.
    there, back:  places that this taster tastes, in the order of the first round and of every
                  second one after it, and of the rounds between.
    """

    taster: str
    code: str
    there: tuple[Place, ...]
    back: tuple[Place, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperSheets:
    """A sheet for each seat of a table.

    verdicts:     the words of a call.
    each_coffee:  called code by code; else the table as one.
    """

    printed: Printed
    sheet: Sheet
    seats: tuple[PaperSeat, ...]
    verdicts: tuple[str, ...]
    each_coffee: bool


def paper_sheets_pdf(sheets: PaperSheets, *, size: PageSize = "a4") -> bytes:
    """Return the sheets of all seats, one after the other; the same bytes for the same sheets."""
    shared = _shared_words(sheets.sheet)
    return typeset(
        "paper_sheet",
        {
            **printed_data(sheets.printed, size),
            "title": sheets.sheet.title,
            "seats": [
                {
                    "taster": seat.taster,
                    "code": seat.code,
                    "blocks": [
                        *_blocks(sheets, seat, shared=bool(shared)),
                        *_calls(sheets, seat.there),
                    ],
                }
                for seat in sheets.seats
            ],
            "words": shared,
            "caution": f"Taste at {TASTE_BELOW_C} °C or below: a hotter sip can scald.",
            "care": f"Spit. {CAFFEINE_DAY_MG} mg caffeine a day is the usual limit for healthy "
            "adults, 200 mg in pregnancy; information, not medical advice. Own spoon, own glass.",
            "foot": "To type it in: on the host's page press “Another device” for the seat with "
            "this paper code, open the phones' address in a new window and type the code that "
            "it gives; digits mark, the arrows go back and on.",
        },
    )


def abreast(places: Sequence[Place]) -> tuple[tuple[Place, ...], ...]:
    """Part places into rows that fit beside the lines, as even as can be.

    >>> from crustbreak.domain.records.tables import Place
    >>> eight = tuple(Place(id=str(nth), code=str(nth), cups=5) for nth in range(8))
    >>> [len(row) for row in abreast(eight)]
    [4, 4]
    """
    rows = -(-len(places) // MOST_ABREAST)
    bounds = [len(places) * nth // rows for nth in range(rows + 1)] if rows else []
    return tuple(tuple(places[a:b]) for a, b in pairwise(bounds))


def _blocks(sheets: PaperSheets, seat: PaperSeat, *, shared: bool) -> Iterator[dict[str, Any]]:
    """Round by round, and in a round row by row of codes, as this taster tasting orders."""
    notes = [line for line in sheets.sheet.lines if line.kind == "words" and not line.round]
    for nth, each in enumerate(sheets.sheet.rounds):
        lines = [line for line in sheets.sheet.lines if line.round == each.id]
        if not lines:
            continue
        for places in abreast(seat.back if nth % 2 else seat.there):
            most = max(place.cups for place in places)
            asked = [line for line in lines if sheets.sheet.asked(line, most) and not line.beside]
            told = [each for line in asked for each in (line, *sheets.sheet.beside(line))]
            yield {
                **_head(each, places),
                "rows": [_row(line, places, shared=shared) for line in [*told, *notes]],
            }


def _head(each: Round, places: Sequence[Place]) -> dict[str, Any]:
    return {"title": each.title, "say": each.say, "codes": [place.code for place in places]}


def _row(line: Line, places: Sequence[Place], *, shared: bool) -> dict[str, Any]:
    row = {
        "kind": line.kind,
        "title": line.title,
        "say": "",
        "cups": [place.cups for place in places],
    }
    if line.kind == "scale":
        words = "" if shared else _words(line)
        said = f"{line.least:g} to {line.most:g}, in steps of {line.step:g}"
        return {**row, "say": f"{said}; {words}" if words else said}
    if line.kind == "cups":
        most = max(place.cups for place in places)
        flags = [option.said for option in line.options[1:]]
        said = f"Cross a bowl: {flags[0]}." if len(flags) == 1 else "Cross a bowl under its word."
        usual = line.all_alike if most > 1 else line.options[0].said.capitalize()
        return {**row, "say": said, "usual": usual, "flags": flags}
    if line.kind == "choice":
        return {**row, "say": "Where it differs: circle one.", "words": _offered(line)}
    return row


def _offered(line: Line) -> list[str]:
    return [option.said for option in line.options]


def _calls(sheets: PaperSheets, snapshot: Sequence[Place]) -> Iterator[dict[str, Any]]:
    call = {
        "title": "Call",
        "say": "After the last line, before anybody knows a name: tick one word"
        f"{' for each' if sheets.each_coffee else ''}.",
    }
    if not sheets.each_coffee:
        yield {**call, "codes": ["the table"], "rows": [_tick(word, 1) for word in sheets.verdicts]}
        return
    for places in abreast(snapshot):
        yield {
            **call,
            "codes": [place.code for place in places],
            "rows": [_tick(word, len(places)) for word in sheets.verdicts],
        }


def _tick(word: str, count: int) -> dict[str, Any]:
    return {"kind": "call", "title": word, "say": "", "cups": [0] * count}


def _words(line: Line) -> str:
    return ", ".join(f"{point:g} {word}" for point, word in sorted(line.anchors.items()))


def _shared_words(sheet: Sheet) -> str:
    """Return the words of the scale, where all lines have the same; nothing otherwise."""
    told = {(line.least, line.most, _words(line)) for line in sheet.lines if line.kind == "scale"}
    return told.pop()[2] if len(told) == 1 else ""
