"""Papers as PDF, by Typst, checked to be fit for an archive and for a screen reader."""

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from functools import cache
from importlib.resources import files
from typing import Any

from crustbreak.core.units import utc_moment
from crustbreak.reports.blocks import Block, Chart, Disclosure, Paper
from crustbreak.reports.charts.specs import PAINT, as_svg
from crustbreak.reports.render.html import TEMPLATES

FACE = "Roboto"
# What stands for a sign that no face on this laptop can show.
UNSHOWN = "\ufffd"
UNSHOWN_SAID = "Signs that this laptop has no face for stand as \ufffd; the page form shows them."
# A print has no page form; what its names are stands on the host's page.
UNSHOWN_ON_PRINT = (
    "Signs that this laptop has no face for stand as \ufffd; the host's page shows them."
)
# How often a paper is tried again without some signs before it is given up.
MOST_UNSHOWN = 200
ESCAPED = re.compile(r"\\u\{([0-9a-f]+)\}")
# No face has it; or it is a sign of private use, such as a bullet pasted from a word processor,
# that means nothing in an archive.
UNSHOWN_AT = re.compile(
    r"(?:the text (?=.+ could not be displayed)|the PDF contains the codepoint )`\"(.+?)\"`"
)


def as_pdf(paper: Paper) -> bytes:
    """Return a paper as PDF/A-2a and PDF/UA-1, A4; the same bytes for the same paper.

    Names in a script that our own face lacks are set in a face of this laptop; then the bytes
    are the same on this laptop. A sign that no face shows stands as U+FFFD, and the foot says so.
    """
    return typeset("paper", _data(paper), unshown_said=UNSHOWN_SAID)


def typeset(
    template: str, data: Mapping[str, Any], *, unshown_said: str = UNSHOWN_ON_PRINT
) -> bytes:
    """Return plain data as PDF in the form of a template, to the standards of `as_pdf`.

    Args:  template: its name among the templates, without its ending. data: what the template
           asks for, as JSON; with `at_s`, the moment that is its date, seconds since 1970, and
           `foot`, at whose end it is said when a sign cannot be shown. unshown_said: how.
    """
    from typst import TypstError

    try:
        return _compile(template, data, with_laptops_faces=False)
    except TypstError as error:
        if not UNSHOWN_AT.search(str(error)):
            raise
    return _compile_without(template, data, unshown_said)


def _compile_without(template: str, data: Mapping[str, Any], unshown_said: str) -> bytes:
    """Leave out what no face shows, all that is complained of at a time."""
    from typst import TypstError

    for _ in range(MOST_UNSHOWN):
        try:
            return _compile(template, data, with_laptops_faces=True)
        except TypstError as error:
            unshown = UNSHOWN_AT.findall(str(error))
            if not unshown:
                raise
            data = _without(data, _unescaped("".join(unshown)), unshown_said)
    return _compile(template, data, with_laptops_faces=True)


def _unescaped(text: str) -> str:
    """Read what Typst says of a sign: itself, or its number."""
    return ESCAPED.sub(lambda number: chr(int(number[1], 16)), text)


def _without(data: Mapping[str, Any], unshown: str, unshown_said: str) -> dict[str, Any]:
    text = json.dumps(data, ensure_ascii=False)
    for sign in set(unshown):
        # What JSON is written in is in every face.
        if not sign.isascii():
            text = text.replace(sign, UNSHOWN)
    left: dict[str, Any] = json.loads(text)
    if unshown_said not in left["foot"]:
        left["foot"] = f"{left['foot']} {unshown_said}"
    return left


def _compile(template: str, data: Mapping[str, Any], *, with_laptops_faces: bool) -> bytes:
    # It brings eighty megabytes, and few commands need it.
    import typst

    return typst.compile(
        str(TEMPLATES / f"{template}.typ"),
        format="pdf",
        font_paths=[_face_folder()],
        ignore_system_fonts=not with_laptops_faces,
        sys_inputs={"paper": json.dumps(data)},
        # Kept for good (ISO 19005-2, level A) and readable by a screen reader (ISO 14289-1).
        pdf_standards=["a-2a", "ua-1"],
        # The verdict's own moment: a paper made again is the same paper.
        timestamp=data["at_s"],
    )


@cache
def _face_folder() -> str:
    return str(files("font_roboto") / "files")


def _data(paper: Paper) -> dict[str, Any]:
    at = utc_moment(paper.at)
    return {
        "kind": paper.kind,
        "about": paper.about,
        "house": paper.lab,
        "day": paper.day,
        "at_s": int(at.timestamp()),
        "year": at.year,
        "month": at.month,
        "date": at.day,
        "face": FACE,
        "finding": paper.finding,
        "parts": [
            {"title": part.title, "wide": part.wide, "blocks": _blocks(part.blocks)}
            for part in paper.parts
        ],
        "signs": list(paper.signs),
        "foot": paper.foot,
    }


def _blocks(blocks: Sequence[Block]) -> list[dict[str, Any]]:
    return [{"block": type(block).__name__, **_block(block)} for block in blocks]


def _block(block: Block) -> dict[str, Any]:
    if isinstance(block, Chart):
        svg = as_svg(block.drawn["paper"], paint=PAINT)
        return {"title": block.title, "said": list(block.said), "svg": svg}
    if isinstance(block, Disclosure):
        return {"summary": block.summary, "blocks": _blocks(block.blocks)}
    plain = asdict(block)
    if "sums" in plain:
        plain["sums"] = sorted(plain["sums"])
    return plain
