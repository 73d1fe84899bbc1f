"""What the papers of `choose` show of the sheets themselves: every line, and plain totals."""

from collections.abc import Mapping, Sequence
from typing import Any

from crustbreak.core.units import points
from crustbreak.reports.blocks import Block, Grid, Text, Words, strong, words
from crustbreak.reports.charts.intervals import Range, range_chart
from crustbreak.reports.sections.controls import stood_text
from crustbreak.reports.text import format_gap, format_list


def line_blocks(evidence: Mapping[str, Any]) -> tuple[Block, ...]:
    return tuple(block for coffee in evidence["coffees"] for block in _coffee_lines(coffee))


def _coffee_lines(coffee: Mapping[str, Any]) -> tuple[Block, ...]:
    tasters = coffee["tasters"]

    def row(
        name: str, given: Sequence[float | None], spread: Mapping[str, Any] | None, missing: str
    ) -> tuple[Words, ...]:
        deviation = spread["deviation"] if spread else None
        return (
            words(name),
            *(words(missing if each is None else points(each)) for each in given),
            words(points(spread["mean"]) if spread else "none"),
            words("none" if deviation is None else points(deviation)),
        )

    lines = [
        row(
            f"{line['title']}{', taken off' if line['penalty'] else ''}",
            line["points"],
            line["spread"],
            "missing",
        )
        for line in coffee["lines"]
    ]
    totals = row("Total", [each["total"] for each in tasters], coffee["total"], "open")
    calls = (words("Call by code"), *(words(each["call"] or "none") for each in tasters))
    return (
        Grid(
            f"{coffee['coffee']}, line by line",
            ("line", *_names(tasters), "mean", "deviation"),
            (*lines, totals, (*calls, words(""), words(""))),
            shown=True,
            sums=frozenset({len(lines)}),
        ),
        Text(words(*_bowls_text(coffee), *_taster_cells(tasters)), "small"),
    )


def _names(ratings: Sequence[Mapping[str, Any]]) -> list[str]:
    """Name each look: by its taster, and by its code, too, where a coffee stood under two."""
    tasters = [each["taster"] for each in ratings]
    if len(set(tasters)) == len(tasters):
        return tasters
    return [f"{each['taster']}, {each['code']}" for each in ratings]


def _bowls_text(coffee: Mapping[str, Any]) -> list[str]:
    judged, of = coffee["judged"], len(coffee["tasters"])
    said = []
    if coffee["bad_bowls"]:
        said.append(f"{coffee['bad_bowls']} of {coffee['bowls']} bowls tainted or faulty. ")
    elif judged:
        said.append(f"No bowl of {coffee['bowls']} tainted or faulty. ")
    if judged == 0:
        said.append("Taints and faults: not judged by anyone. ")
    elif judged < of:
        said.append(f"Taints and faults: judged by {judged} of {of}. ")
    return said


def _taster_cells(tasters: Sequence[Mapping[str, Any]]) -> list[Any]:
    said: list[Any] = []
    for name, each in zip(_names(tasters), tasters, strict=True):
        missing = f"{format_list(each['missing'])} missing. " if each["missing"] else ""
        flagged = f"{', '.join(each['flagged'])}. " if each["flagged"] else ""
        told = f"{missing}{flagged}{'; '.join(each['notes'])}"
        if told:
            said += [strong(f"{name}: "), f"{told} "]
    return said


def total_blocks(evidence: Mapping[str, Any]) -> tuple[Block, ...]:
    rows = [
        Range(
            name=coffee["coffee"],
            small=stood_text(coffee["code"]),
            mean=coffee["total"]["mean"] if coffee["total"] else None,
            ratings=ratings_in(coffee),
        )
        for coffee in evidence["coffees"]
    ]
    return (
        range_chart("Each coffee's sheets", rows, evidence),
        Grid(
            "Totals",
            ("coffee", "mean", "of the cut-off", "spread", "how sure"),
            tuple(_total(coffee, evidence) for coffee in evidence["coffees"]),
        ),
    )


def _total(coffee: Mapping[str, Any], evidence: Mapping[str, Any]) -> tuple[Words, ...]:
    how_sure = words(f"How sure: {evidence['how_sure']}")
    total, tasters = coffee["total"], len(coffee["tasters"])
    if not total:
        none = words("no sheet of it is complete")
        return (words(coffee["coffee"]), words(strong("No total")), words(""), none, how_sure)
    if total["deviation"] is not None:
        spread = (
            f"{total['count']} sheets, {points(total['least'])} to {points(total['most'])}, "
            f"deviation {points(total['deviation'])}"
        )
    else:
        spread = f"one {'taster' if tasters == 1 else 'complete sheet'}, so no spread"
    if total["count"] < tasters:
        spread += f"; {total['count']} of {tasters} sheets complete, its mean leaves the others out"
    gap = format_gap(coffee["over"])
    return (
        words(coffee["coffee"]),
        words(strong(points(total["mean"])), f", {coffee['title'] or 'no class'}"),
        words("on the cut-off" if gap == "on it" else f"{gap} the cut-off"),
        words(spread),
        how_sure,
    )


def ratings_in(found: Mapping[str, Any]) -> tuple[float, ...]:
    totals = (taster["total"] for taster in found["tasters"])
    return tuple(total for total in totals if total is not None)
