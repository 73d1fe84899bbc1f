"""How the control and the hidden duplicate came out, in sentences."""

from collections.abc import Mapping
from typing import Any

from crustbreak.core.units import points
from crustbreak.reports.text import format_count, format_list

# Of numbered bowls that could not be read.
NOWHERE = "where it stood is not known"


def stood_text(code: str) -> str:
    """Return in words under which code a coffee stood; with numbered bowls that can stay unknown.

    >>> stood_text("204"), stood_text("")
    ('stood as 204', 'where it stood is not known')
    """
    return f"stood as {code}" if code else NOWHERE


def control_text(each: Mapping[str, Any]) -> str:
    """Return in words how the control came out, and how it usually does.

    >>> control_text({"coffee": "Old Post", "code": "204", "today": 83.1, "usual": 83.0,
    ...              "least": 82.5, "most": 83.5, "tables": 4})
    'Control: Old Post, as 204, 83.10 today; at 4 earlier tables 83.00 on average, 82.50 to 83.50.'
    """
    today = "no sheet complete" if each["today"] is None else f"{points(each['today'])} today"
    where = f"as {each['code']}" if each["code"] else NOWHERE
    said = f"Control: {each['coffee']}, {where}, {today}"
    if not each["tables"]:
        return f"{said}; it stands here for the first time."
    tables = format_count(each["tables"], "earlier table")
    return (
        f"{said}; at {tables} {points(each['usual'])} on average, {points(each['least'])} to "
        f"{points(each['most'])}."
    )


def apart_text(taster: str, gap: float | None) -> str:
    """Return in words how far apart one taster had one coffee under two codes.

    >>> apart_text("Ines", 0.5), apart_text("Tomas", None)
    ('Ines 0.50 apart', 'Tomas: a sheet is open')
    """
    return f"{taster}: a sheet is open" if gap is None else f"{taster} {points(gap)} apart"


def duplicate_text(each: Mapping[str, Any]) -> str:
    """Return in words how alike one coffee was tasted under two codes.

    >>> duplicate_text({"coffee": "Tarn", "codes": ["204", "417"], "within": 1.25,
    ...             "apart": [{"taster": "Ines", "points": 0.5}]})
    'Tarn stood twice, as 204 and 417: Ines 0.50 apart. Two looks of one taster lie within 1.2 of \
each other nine times in ten.'
    """
    apart = ", ".join(apart_text(one["taster"], one["points"]) for one in each["apart"])
    said = f"{each['coffee']} stood twice, as {format_list(each['codes'])}: {apart}."
    if each["within"] is None:
        return said
    return (
        f"{said} Two looks of one taster lie within {each['within']:.1f} of each other nine times "
        "in ten."
    )
