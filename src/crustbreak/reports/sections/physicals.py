"""What was measured of a coffee, and what an old score leads one to expect of it."""

from collections.abc import Mapping
from typing import Any

from crustbreak.domain.grading.physicals import MEASURES
from crustbreak.reports.blocks import Block, Grid, Text, strong, words
from crustbreak.reports.text import format_count, format_tenth

BY_ID = {each.id: each for each in MEASURES}


def physicals_blocks(physicals: Mapping[str, Any]) -> tuple[Block, ...]:
    """Return measures against their limits and against the approval.

    Nothing where none are there.
    """
    readings = physicals.get("readings", ())
    if not readings:
        return ()
    rows = tuple(
        (
            words(_title(each["measure"])),
            words(each["at_approval"] or "not given"),
            words(strong(each["found"] or "not measured")),
            words(_finding(each)),
        )
        for each in readings
    )
    by = f" Measured by {physicals['by']}." if physicals.get("by") else ""
    return (
        Grid("Physicals", ("measure", "approved", "now", "finding"), rows),
        Text(words(f"Limits as typed from the contract, which prevails.{by}"), "small"),
    )


def limits_text(physicals: Mapping[str, Any]) -> str:
    """Return in a sentence which measures lie outside their limits.

    Empty where none were measured.
    """
    measured = [each for each in physicals.get("readings", ()) if each["found"]]
    if not measured:
        return ""
    out = [each for each in measured if each["verdict"] in ("under", "over")]
    if out:
        said = [f"{_value(each)} is {_against(each)}" for each in out]
        return f"{'; '.join(said)}."
    limited = [each for each in measured if each["verdict"] == "within"]
    if not limited:
        return f"{format_count(len(measured), 'measure')} taken, against no limit."
    free = len(measured) - len(limited)
    beside = f", {free} against no limit" if free else ""
    return f"{format_count(len(limited), 'measure')} within the limits{beside}."


def old_score_text(physicals: Mapping[str, Any]) -> str:
    """Return in words what an old score leads one to expect; empty where none was given."""
    old = physicals.get("old_score")
    if not old:
        return ""
    where = f"by {format_count(old['tasters'], 'taster')} at {format_count(old['tables'], 'table')}"
    # Records of before this was told apart have no such word.
    usual = (
        "what such offers score is not given"
        if old.get("assumed")
        else f"such offers score {old['usual']:g}"
    )
    change = (
        f"a drop of {format_tenth(old['drop'])} needs no change in the coffee"
        if round(old["drop"], 1) > 0
        else "no drop is to be expected"
    )
    return (
        f"An old score of {old['score']:g} {where}; {usual}: "
        f"tasted again by tasters who score alike, expect {format_tenth(old['expected'])}, with "
        f"nine in ten {format_tenth(old['low'])} to {format_tenth(old['high'])}; {change}. "
        "It takes no part in the comparison side by side."
    )


def _title(measure: str) -> str:
    known = BY_ID.get(measure)
    if known is None:
        return measure
    return f"{known.title}, {known.unit}" if known.unit else known.title


def _value(reading: Mapping[str, Any]) -> str:
    """Return in words a figure with its unit, as one says it."""
    known = BY_ID.get(reading["measure"])
    if known is None:
        return f"{reading['measure']} {reading['found']}"
    return f"{known.title} {reading['found']} {known.unit}".rstrip()


def _against(reading: Mapping[str, Any]) -> str:
    """Return in words where a figure lies, with the limit that says so."""
    least, most = reading["least"], reading["most"]
    one_sided = f"at least {least}" if least else f"at most {most}"
    return {
        "within": f"within {least} to {most}" if least and most else f"within, {one_sided}",
        "under": f"under {least}",
        "over": f"over {most}",
        "no limit": "no limit given",
        "not measured": "not measured",
    }[reading["verdict"]]


def _finding(reading: Mapping[str, Any]) -> str:
    changed = reading["changed"]
    if changed is None:
        return _against(reading)
    by = "unchanged" if float(changed) == 0 else f"{'+' if float(changed) > 0 else ''}{changed}"
    return f"{_against(reading)}; {by}"
