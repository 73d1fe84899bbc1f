"""How blind a table was, as sentences."""

from collections.abc import Mapping
from typing import Any

from crustbreak.reports.text import format_count, format_list, format_moment

DOUBTS = {
    "by elimination": "{codes}: the number could not be read; the coffee is what was left.",
    "not checked": "{codes}: one bowl of the row was read, and no second one to check it.",
    "another class": "{codes}: a coffee of another class stood there, so it was tasted out of its "
    "class's turn.",
    "not read": "{codes}: the number could not be read. What was marked there is kept, and in "
    "nobody's evidence.",
    "mixed": "{codes}: the row held bowls of several coffees. What was marked there is kept, and "
    "in nobody's evidence.",
}


def blindness_texts(blind: Mapping[str, Any]) -> list[str]:
    """Return what is to be known of how places got their names, and of who knew a code before."""
    said = []
    numbered = blind.get("numbered")
    if numbered:
        said += _doubt_texts(numbered["places"])
        said += [
            f"The numbers were read once more on {format_moment(each['at'])}, after the names: "
            f"{each['reason']}"
            for each in numbered["read"]
            if each["reason"]
        ]
    knew: dict[str, list[str]] = {}
    for each in blind.get("knew", ()):
        knew.setdefault(each["taster"], []).append(each["code"])
    said += [f"{taster} thought to know {format_list(codes)}." for taster, codes in knew.items()]
    return said


def _doubt_texts(places: list[Mapping[str, Any]]) -> list[str]:
    said = []
    for doubt, sentence in DOUBTS.items():
        codes = [place["code"] for place in places if doubt in place["doubts"]]
        if codes:
            said.append(sentence.format(codes=format_list(codes)))
    return said


def numbered_text(table: Mapping[str, Any], numbered: Mapping[str, Any]) -> str:
    """Return in words how a table with numbered bowls was set and read."""
    read_at = [each["at"] for each in numbered["read"]]
    read = f"first read on {format_moment(read_at[0])}" if read_at else "not read"
    places = format_count(len(numbered["places"]), "place")
    return (
        f"{table['setter']} filled bowls with numbers underneath, which were shuffled dry onto "
        f"{places} without looking; the numbers were {read}, after every taster had called. "
        "The lab did not know before what stood where."
    )
