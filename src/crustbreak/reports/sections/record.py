"""What every paper says of the record it is written from, whatever was asked."""

from collections.abc import Mapping
from typing import Any

from crustbreak.core.units import clock, points
from crustbreak.reports.blocks import Block, Heading, Items, Text, strong, words
from crustbreak.reports.sections.blindness import blindness_texts, numbered_text
from crustbreak.reports.sections.bowl_deviations import deviation_texts
from crustbreak.reports.text import (
    format_count,
    format_day,
    format_list,
    format_moment,
    format_shares,
)


def whole_record(record: Mapping[str, Any]) -> dict[str, Any]:
    """Return a kept record with what an earlier version did not tell: it had not happened then."""
    planned = {"cut_off_planned": record["table"]["cut_off"], "cut_off_moves": []}
    return {
        "admitted": [],
        "earlier_verdicts": [],
        **record,
        "table": {**planned, **record["table"]},
        "left_out": {"seats": [], "refused": 0, **record["left_out"]},
    }


def deviation_blocks(evidence: Mapping[str, Any]) -> tuple[Block, ...]:
    """Return in words which bowls differed; nothing where none did."""
    # Earlier evidence knew of none, and most tables have none.
    said = deviation_texts(evidence.get("bowl_flags", ()))
    return (
        (Heading("Bowls that differed"), Items(tuple(words(each) for each in said))) if said else ()
    )


def asked_block(record: Mapping[str, Any]) -> Text:
    """Return in words what was asked, and within which figure."""
    table = record["table"]
    about = f"{table['occasion']}. " if table["occasion"] else ""
    return Text(
        words(
            f"{record['question']['asks']} {about}{table['cut_off_title']}: {cut_off_text(table)}"
        )
    )


def cut_off_text(table: Mapping[str, Any]) -> str:
    """Return in words the figure that decides, when it was fixed, and where it was moved since."""
    fixed, at, late = table["cut_off_planned"], table["planned_at"], []
    for move in table["cut_off_moves"]:
        if move["is_late"]:
            late.append(move)
        else:
            # Nothing was poured yet: what was typed last is what was fixed.
            fixed, at = move["after"], move["at"]
    said = f"{points(fixed)}, fixed on {format_moment(at)}, before the first pour"
    if not late:
        return f"{said}; not moved."
    moved = " ".join(
        f"Moved to {points(move['after'])} on {format_moment(move['at'])}, "
        f"{'after the names' if move['knew_names'] else 'after the first pour, before the names'}: "
        f"{move['reason']}"
        for move in late
    )
    return f"{said}. {moved}"


def verdict_blocks(verdict: Mapping[str, Any]) -> tuple[Block, ...]:
    """Return in words what was decided, and why."""
    pieces = [
        piece
        for each in verdict["words"]
        for piece in (f"{each['subject']}: ", strong(each["word"]), ". ")
    ]
    # Most verdicts, and all older ones, say nothing of what follows.
    following = verdict.get("next")
    return (
        Text(words(*pieces)),
        Text(words("Reason: ", verdict["reason"])),
        *((Text(words("What follows: ", strong(following))),) if following else ()),
    )


def day_blocks(record: Mapping[str, Any]) -> tuple[Block, ...]:
    """Return in words who tasted, how blind, how it was poured, and what was left out."""
    left = record["left_out"]
    blind = record.get("blind", {})
    said = [
        _who_tasted(record["table"], blind.get("numbered")),
        _how_poured(record["table"]),
        *blindness_texts(blind),
    ]
    if left["late"] or left["set_aside"] or left["refused"]:
        refused = ""
        if left["refused"]:
            refused = f", {left['refused']} of a device that the host did not recognise"
        late = format_count(left["late"], "mark")
        said.append(
            f"Out of the evidence: {late} that came late, {left['set_aside']} set aside{refused}."
        )
    said += [" ".join(deviation_texts(record["evidence"].get("bowl_flags", ())))]
    said += [f"Left out: {each['taster']}. Reason: {each['reason']}" for each in left["seats"]]
    said += [
        f"Let in on {format_moment(each['at'])}: marks of {each['taster']} made before the hand-in "
        f"that came after the uncovering. Reason: {each['reason']}"
        for each in record["admitted"]
    ]
    earlier = "; ".join(
        f"{each['by']} on {format_moment(each['at'])}, record {_short(each['digest'], 2)}"
        for each in record["earlier_verdicts"]
    )
    if earlier:
        said.append(f"Earlier verdicts of this table, kept as they were: {earlier}.")
    return tuple(Text(words(each)) for each in said if each)


def _who_tasted(table: Mapping[str, Any], numbered: Mapping[str, Any] | None) -> str:
    day = f" on {format_day(table['poured_at'])}" if table["poured_at"] else ""
    if numbered:
        return f"Tasted by {format_list(table['tasters'])}{day}. {numbered_text(table, numbered)}"
    opened = table["key_opened_at"]
    key = "The key was not opened before the uncovering."
    if opened:
        times = "once, on" if len(opened) == 1 else f"{len(opened)} times, on"
        moments = format_list([format_moment(each) for each in opened])
        key = f"{table['setter']} set the table by the key, opened {times} {moments}."
    if table["setter_tasted"] and opened:
        blind = f"{table['setter']} also tasted and so was not blind."
    else:
        uncovered = f" on {format_moment(table['uncovered_at'])}" if table["uncovered_at"] else ""
        blind = f"The tasters saw codes only until the uncovering{uncovered}."
    return f"Tasted by {format_list(table['tasters'])}{day}. {key} {blind}"


def _how_poured(table: Mapping[str, Any]) -> str:
    recipe = table["recipe"]
    shares = f"{format_shares(table['shares'])} " if table.get("shares") else ""
    said = (
        f"{shares}{_bowls_text(table)}, {recipe['dose_g']:g} g to "
        f"{recipe['water_ml']:g} ml, "
        f"{recipe['steep_s'] / 60:g} minutes planned from pour to break."
    )
    if not table["broken_at"]:
        return f"{said} No break was tapped."
    undone = f" Taps taken back: {table['taps_undone']}." if table["taps_undone"] else ""
    return (
        f"{said} First pour {format_moment(table['poured_at'])}, first break "
        f"{format_moment(table['broken_at'])}, {clock(table['steeped_s'])} later.{undone}"
    )


def _bowls_text(table: Mapping[str, Any]) -> str:
    # Older records know of no open bowl.
    opened = table.get("open", 0)
    if opened:
        blind = len(table["cups"]) - opened
        return f"{blind} bowls under codes of their own and {opened} open"
    return f"{format_count(table['cups'][0], 'bowl')} a coffee"


def record_foot(record: Mapping[str, Any]) -> str:
    """Return in words by which sheet and version, and under which digest it is kept."""
    sheet = record["sheet"]
    return (
        f"{sheet['title']}, {sheet['ref']}. Crustbreak {record['engine']}. "
        f"Record {_short(record['digest'], 4)}."
    )


def _short(digest: str, groups: int) -> str:
    return " ".join(digest[4 * nth : 4 * nth + 4] for nth in range(groups))
