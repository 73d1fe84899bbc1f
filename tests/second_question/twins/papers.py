"""Reports' part: the blocks of its page, and its note."""

from collections.abc import Mapping
from typing import Any

from crustbreak.core.units import points
from crustbreak.reports.blocks import Block, Items, Paper, Part, Text, words
from crustbreak.reports.text import format_day


def show_twins(evidence: Mapping[str, Any]) -> tuple[Block, ...]:
    """Say the evidence."""
    blank = [("Hot water", evidence["blank"])] if evidence["blank"] else []
    said = (
        f"{name}: {points(spread['mean']) if spread else 'nothing'} from the open bowl"
        for name, spread in (*evidence["coffees"], *blank)
    )
    return (Items(tuple(words(each) for each in said)),)


def twin_note(record: Mapping[str, Any]) -> Paper:
    """Write the note from the kept record."""
    verdict, table = record["verdict"], record["table"]
    asked = f"{record['question']['asks']} {table['cut_off_title']}: {points(table['cut_off'])}."
    return Paper(
        kind=record["question"]["document"],
        about=table["occasion"],
        lab=record["lab"],
        day=format_day(verdict["at"]),
        at=verdict["at"],
        finding=verdict["words"][0]["word"],
        parts=(
            Part("Asked", (Text(words(asked)),)),
            Part("Why", (Text(words(f"{verdict['reason']} {verdict['by']}.")),)),
            Part("Found", show_twins(record["evidence"])),
        ),
        signs=(verdict["by"],),
        foot=f"{record['sheet']['ref']} {record['digest']}",
    )
