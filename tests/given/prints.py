"""Prints made by hand, and what can be read back from a PDF by a library of its own (pypdf)."""

import io
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from pypdf import PdfReader

from crustbreak.domain.records.recipes import STANDARD
from crustbreak.domain.records.tables import Place
from crustbreak.reports.cards.cards import PlaceCards, Portion, Printed, SettingCard
from crustbreak.reports.cards.tasting_sheet import PaperSeat, PaperSheets
from tables import ten_line

PRINTED = Printed(lab="Test lab", table="7f3a91c4", at="2031-03-04T08:00:00.000Z")
VERDICTS = ("buy", "look again", "decline")


def snapshot(*codes: str, cups: int = 5) -> tuple[Place, ...]:
    """Give places of five bowls under these codes."""
    return tuple(Place(id=f"p{code}", code=code, cups=cups) for code in codes)


def setting_card(coffees: Sequence[str], **changed: Any) -> SettingCard:
    """Give a card: codes 201, 302 ... for the coffees in their order; the last is the control."""
    portions = tuple(
        Portion(code=f"{nth}0{nth - 1}", cups=5, coffee=name, is_control=name == coffees[-1])
        for nth, name in enumerate(coffees, start=2)
    )
    facts: dict[str, Any] = {
        "printed": PRINTED,
        "occasion": "Morning offers",
        "setter": "Piet",
        "portions": portions,
        "recipe": STANDARD,
        "purge_g": 5,
    }
    return SettingCard(**{**facts, **changed})


def place_cards(*codes: str, bowls: bool = False) -> PlaceCards:
    """Give cards of these codes."""
    return PlaceCards(printed=PRINTED, places=snapshot(*codes), bowls=bowls)


def paper_sheets(codes: Sequence[str], *tasters: str, cups: int = 5, **changed: Any) -> PaperSheets:
    """Give ten-line sheets of these tasters, with the paper codes 2AB, 3AB and so on."""
    places = snapshot(*codes, cups=cups)
    seats = tuple(
        PaperSeat(taster=name, code=f"{'23456789CDEFG'[nth]}AB", there=places, back=places[::-1])
        for nth, name in enumerate(tasters)
    )
    facts: dict[str, Any] = {
        "printed": PRINTED,
        "sheet": ten_line(),
        "seats": seats,
        "verdicts": VERDICTS,
        "each_coffee": True,
    }
    return PaperSheets(**{**facts, **changed})


def pages(pdf: bytes) -> list[str]:
    """Give what each page says, in one line."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf)).pages]


def page_count(pdf: bytes) -> int:
    """Give how many pages there are, without reading them."""
    return len(PdfReader(io.BytesIO(pdf)).pages)


def size_mm(pdf: bytes) -> tuple[float, float]:
    """Give width and height of the first page; a point is 1/72 of an inch (ISO 32000-1)."""
    box = PdfReader(io.BytesIO(pdf)).pages[0].mediabox
    return float(box.width) / 72 * 25.4, float(box.height) / 72 * 25.4


@dataclass(frozen=True, slots=True)
class Drawn:
    """What a page shows, in points from its lower left corner.

    texts:  what is said, left end, baseline, and size of the letters.
    bars:   left, lower, right and upper edge of what is filled.
    """

    texts: list[tuple[str, float, float, float]] = field(default_factory=list)
    bars: list[tuple[float, float, float, float]] = field(default_factory=list)


def drawn(pdf: bytes, nth: int = 0) -> Drawn:
    """Read where the texts and the filled shapes of a page stand."""
    found = Drawn()
    path: list[tuple[float, float]] = []

    def at(matrix: Sequence[float], x: Any, y: Any) -> tuple[float, float]:
        a, b, c, d, e, f = matrix
        return a * float(x) + c * float(y) + e, b * float(x) + d * float(y) + f

    def shape(operator: bytes, given: Any, matrix: Any, _text: Any) -> None:
        if operator in (b"m", b"l"):
            path.append(at(matrix, *given))
        elif operator == b"re":
            x, y, width, height = (float(each) for each in given)
            path.extend((at(matrix, x, y), at(matrix, x + width, y + height)))
        elif operator in (b"f", b"f*") and path:
            across, up = [x for x, _ in path], [y for _, y in path]
            found.bars.append((min(across), min(up), max(across), max(up)))
        if operator in (b"f", b"f*", b"S", b"n"):
            path.clear()

    def said(text: str, matrix: Any, _inner: Any, _font: Any, size: float) -> None:
        if text.strip():
            found.texts.append((text.strip(), *at(matrix, 0, 0), size))

    page = PdfReader(io.BytesIO(pdf)).pages[nth]
    page.extract_text(visitor_operand_before=shape, visitor_text=said)
    return found


def assert_for_archive_and_reader(pdf: bytes, title: str) -> None:
    """Check the marks of ISO 19005-2, 6.6.4 and ISO 14289-1, 5; Typst checks the rest."""
    reader = PdfReader(io.BytesIO(pdf))
    root: Any = reader.trailer["/Root"]
    marks = root["/Metadata"].get_object().get_data().decode()
    assert "<pdfaid:part>2</pdfaid:part>" in marks
    assert "<pdfaid:conformance>A</pdfaid:conformance>" in marks
    assert "<pdfuaid:part>1</pdfuaid:part>" in marks
    assert root["/MarkInfo"]["/Marked"]
    assert root["/StructTreeRoot"]
    assert root["/Lang"] == "en"
    assert reader.metadata is not None
    assert reader.metadata.title == title
