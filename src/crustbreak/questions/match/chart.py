"""The picture of bowls held against an open one: each bowl's mark, and the difference below."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import Any

from crustbreak.reports.charts.specs import (
    ACCENT,
    GROUND,
    INK,
    INK_2,
    LAYOUTS,
    Layout,
    row_texts,
    view,
    y_scale,
)

# Bowls with one mark stand one above the other, so many pixels apart.
STACKED = 15
HEAD = 26


@dataclass(frozen=True, slots=True, kw_only=True)
class BowlRow:
    """The bowls of one coffee.

    marks:   one for each bowl, points from the open one.
    is_new:  it is what is compared, and not the control.
    """

    name: str
    small: str
    marks: tuple[float, ...]
    is_new: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class DifferenceBand:
    """By how much the one lies further off than the other, with what holds it nine times in ten.

    within:  differences up to this count as the same.
    low, high:  None where nothing holds it.
    """

    within: float
    mean: float
    low: float | None
    high: float | None


def draw_bowls(
    rows: Sequence[BowlRow], gap: DifferenceBand | None, *, most: float
) -> dict[str, dict[str, Any]]:
    """Draw bowls as dots on a line from the open bowl on, and the difference on the same line.

    Args:     most: the end of the sheet's scale.
    Returns:  a spec for each of `LAYOUTS`.
    """
    return {name: _bowls(rows, gap, most, layout) for name, layout in LAYOUTS.items()}


def bowls_text(rows: Sequence[BowlRow], gap: DifferenceBand | None) -> tuple[str, ...]:
    """Return in words each row of the picture in a sentence.

    >>> bowls_text([BowlRow(name="Old", small="control", marks=(0.0, 1.0))], None)
    ('Old, control: bowls at 0 and 1.',)
    """
    said = [f"{row.name}, {row.small}: {_said(row)}." for row in rows]
    if gap is not None:
        held = "" if gap.low is None else f", with nine in ten {gap.low:.1f} to {gap.high:.1f}"
        said.append(f"Difference {gap.mean:.1f}{held}; up to {gap.within:g} counts as the same.")
    return tuple(said)


def _said(row: BowlRow) -> str:
    marks = [f"{mark:g}" for mark in sorted(row.marks)]
    if not marks:
        return "no bowl was marked"
    if len(marks) == 1:
        return f"a bowl at {marks[0]}"
    return f"bowls at {', '.join(marks[:-1])} and {marks[-1]}"


def _bowls(
    rows: Sequence[BowlRow], gap: DifferenceBand | None, most: float, layout: Layout
) -> dict[str, Any]:
    # The least of what holds the difference may lie under nothing.
    low = min(0, floor(gap.low)) if gap and gap.low is not None else 0
    high = max(most, ceil(gap.high)) if gap and gap.high is not None else most
    tops, heights = [], [_height(row, layout) for row in rows] + [layout.step] * (gap is not None)
    for nth in range(len(heights)):
        tops.append(HEAD + sum(heights[:nth]))
    height = HEAD + sum(heights)
    plot = layout.width - layout.names - layout.numbers
    x = _x_scale((low, high), plot)
    y = y_scale(height)
    values = [
        {
            "name": row.name,
            "small": row.small,
            "figure": "" if not row.marks else f"{sum(row.marks) / len(row.marks):.1f}",
            "span": "mean" if row.marks else "nothing marked",
            "at": top + tall - _under(layout),
        }
        for row, top, tall in zip(rows, tops, heights, strict=False)
    ]
    dots = [
        {**dot, "is_new": row.is_new, "name": row.name, "at": each["at"] - dot["up"]}
        for row, each in zip(rows, values, strict=False)
        for dot in _stacked(row.marks)
    ]
    difference = []
    if gap is not None:
        at = tops[-1] + heights[-1] - _under(layout)
        difference = [{"mean": gap.mean, "low": gap.low, "high": gap.high, "at": at}]
        held = "" if gap.low is None else f"{gap.low:.1f} to {gap.high:.1f}"
        values.append(
            {
                "name": "Difference",
                "small": "nine in ten",
                "figure": f"{gap.mean:.1f}",
                "span": held,
                "at": at,
            }
        )
    lines = [{"at": each["at"], "from": low, "to": high} for each in values]
    layers = [
        {
            "name": "lines",
            "data": {"values": lines},
            "mark": {"type": "rule", "strokeWidth": 1, "color": INK_2, "opacity": 0.5},
            "encoding": {
                "x": {"field": "from", **x},
                "x2": {"field": "to"},
                "y": {"field": "at", **y},
            },
        },
        _dots("control bowls", [dot for dot in dots if not dot["is_new"]], GROUND, (x, y), layout),
        _dots("compared bowls", [dot for dot in dots if dot["is_new"]], INK, (x, y), layout),
        *(_gap_layers(gap, difference, (x, y), layout) if gap else []),
        *_texts(layout, plot, y),
    ]
    return view(layout, values, layers, height=height, foot=26) | {
        "usermeta": {
            "drawing": "bowls",
            "ends": (low, high),
            "dots": [{"name": dot["name"], "mark": dot["mark"]} for dot in dots],
            "gap": gap
            and {"within": gap.within, "mean": gap.mean, "low": gap.low, "high": gap.high},
        }
    }


def _height(row: BowlRow, layout: Layout) -> int:
    alike = max((row.marks.count(mark) for mark in row.marks), default=1)
    return layout.step + STACKED * (alike - 1)


def _under(layout: Layout) -> int:
    return layout.step - layout.middle


def _stacked(marks: Sequence[float]) -> list[dict[str, Any]]:
    ordered = sorted(marks)
    return [
        {"mark": mark, "up": STACKED * ordered[:nth].count(mark)}
        for nth, mark in enumerate(ordered)
    ]


def _dots(
    name: str,
    dots: Sequence[Mapping[str, Any]],
    fill: str,
    scales: tuple[dict[str, Any], dict[str, Any]],
    layout: Layout,
) -> dict[str, Any]:
    x, y = scales
    return {
        "name": name,
        "data": {"values": list(dots)},
        "mark": {
            "type": "point",
            "shape": "circle",
            "size": layout.figure * 7,
            "fill": fill,
            "stroke": INK,
            "strokeWidth": 2,
            "opacity": 1,
        },
        "encoding": {"x": {"field": "mark", **x}, "y": {"field": "at", **y}},
    }


def _gap_layers(
    gap: DifferenceBand,
    difference: list[dict[str, Any]],
    scales: tuple[dict[str, Any], dict[str, Any]],
    layout: Layout,
) -> list[dict[str, Any]]:
    x, y = scales
    at = difference[0]["at"]
    half = layout.figure * 0.9
    within = [{"d": gap.within, "from": at - half, "to": at + half}]
    # Over the line; under it where the row's name stands over it.
    beside = half + 10 if layout.is_stacked else -half - 8
    said = [{"d": gap.within, "at": at + beside, "said": f"d {gap.within:g}"}]
    held = [each for each in difference if each["low"] is not None]
    return [
        {
            "name": "within",
            "data": {"values": within},
            "mark": {"type": "rule", "strokeWidth": 3, "color": ACCENT},
            "encoding": {
                "x": {"field": "d", **x},
                "y": {"field": "from", **y},
                "y2": {"field": "to"},
            },
        },
        {
            "name": "within said",
            "data": {"values": said},
            "mark": {
                "type": "text",
                "baseline": "middle",
                "fontSize": layout.small,
                "fontWeight": "bold",
                "color": ACCENT,
            },
            "encoding": {
                "x": {"field": "d", **x},
                "y": {"field": "at", **y},
                "text": {"field": "said"},
            },
        },
        {
            "name": "held",
            "data": {"values": held},
            "mark": {"type": "rule", "strokeWidth": 4, "color": INK},
            "encoding": {
                "x": {"field": "low", **x},
                "x2": {"field": "high"},
                "y": {"field": "at", **y},
            },
        },
        {
            "name": "difference",
            "data": {"values": difference},
            "mark": {
                "type": "point",
                "shape": "diamond",
                "size": layout.figure * 9,
                "fill": GROUND,
                "stroke": INK,
                "strokeWidth": 3,
                "opacity": 1,
            },
            "encoding": {"x": {"field": "mean", **x}, "y": {"field": "at", **y}},
        },
    ]


def _texts(layout: Layout, plot: int, y: dict[str, Any]) -> list[dict[str, Any]]:
    """Write name and figures beside the line, or above and below it."""
    if layout.is_stacked:
        places = {
            "name": (0.0, -46.0, "left", layout.width - 120),
            "small": (0.0, -27.0, "left", layout.width - 120),
            "figure": (float(layout.width), -46.0, "right", 80),
            "span": (float(layout.width), -27.0, "right", 120),
        }
    else:
        right = plot + 16.0
        places = {
            "name": (float(-layout.names), -layout.text * 0.6, "left", layout.names - 12),
            "small": (float(-layout.names), layout.small * 0.7, "left", layout.names - 12),
            "figure": (right, 0.0, "left", 80),
            "span": (right + 3.1 * layout.figure, 0.0, "left", 120),
        }
    return row_texts(places, layout, y, under="at", strong=("name", "figure"))


def _x_scale(ends: tuple[float, float], plot: int) -> dict[str, Any]:
    low, high = round(ends[0]), round(ends[1])
    return {
        "type": "quantitative",
        "scale": {"domain": [low, high], "range": [10, plot - 10], "nice": False, "zero": False},
        "axis": {
            "values": list(range(low, high + 1)),
            "format": "d",
            "title": None,
            "grid": False,
            "tickSize": 4,
        },
    }
