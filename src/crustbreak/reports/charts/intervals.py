"""The picture of intervals on a common line."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import Any

from crustbreak.core.units import points
from crustbreak.reports.blocks import Chart
from crustbreak.reports.charts.specs import (
    ACCENT,
    GROUND,
    INK,
    INK_2,
    Layout,
    layouts_for,
    row_texts,
    view,
    y_scale,
)
from crustbreak.reports.text import format_hundredths, format_in_100, format_tenth

# More whole points than this on a line are too many to be read.
MOST_LABELS = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """One row of the intervals.

    low..high:  holds it with nine in ten; inner: the middle half. None where nothing is known.
    over:       chance that it lies over the cut-off; None where it is not known.
    looks:      totals of single sheets.
    """

    name: str
    small: str
    mean: float | None
    low: float | None = None
    high: float | None = None
    inner_low: float | None = None
    inner_high: float | None = None
    over: float | None = None
    ratings: tuple[float, ...] = ()


def draw_ranges(
    rows: Sequence[Range], *, cut_off: float, cut_off_said: str, ends: tuple[float, float]
) -> dict[str, dict[str, Any]]:
    """Draw intervals on a common line: box, line, mean, single looks, and the cut-off.

    Args:     ends: the line's two ends, whole points around all that is drawn.
    Returns:  a spec for each of `LAYOUTS`.
    """
    return {
        name: _ranges(rows, cut_off, cut_off_said, ends, layout)
        for name, layout in layouts_for(len(rows)).items()
    }


def range_lines(rows: Sequence[Range]) -> tuple[str, ...]:
    """Return in words each row of the intervals in a sentence."""
    return tuple(f"{row.name}, {row.small}: {_said(row)}." for row in rows)


def _said(row: Range) -> str:
    if row.mean is None:
        return "no sheet of it is complete, nothing is known of it"
    if row.low is None or row.high is None or row.over is None:
        return f"mean {row.mean:.2f}"
    return (
        f"{format_tenth(row.mean)}, with nine in ten {format_tenth(row.low)} to "
        f"{format_tenth(row.high)}, "
        f"over the cut-off with {format_in_100(row.over)}"
    )


def _ranges(
    rows: Sequence[Range],
    cut_off: float,
    cut_off_said: str,
    ends: tuple[float, float],
    layout: Layout,
) -> dict[str, Any]:
    head = 24
    plot = layout.width - layout.names - layout.numbers
    tops = [head + nth * layout.step for nth in range(len(rows))]
    height = head + len(rows) * layout.step
    values = [
        {**_row(row, cut_off), "at": top + layout.middle, "top": top}
        for row, top in zip(rows, tops, strict=True)
    ]
    ratings = [
        {"name": row.name, "look": look, "at": top + layout.middle + layout.figure * 0.85}
        for row, top in zip(rows, tops, strict=True)
        for look in row.ratings
    ]
    # Where nothing is known, no line runs through the words that say so.
    drawn = [top for row, top in zip(rows, tops, strict=True) if row.mean is not None]
    x = _x_scale(ends, plot)
    thin, thick = 2, layout.figure - 4

    def at(field: str, other: str) -> dict[str, Any]:
        return {"x": {"field": field, **x}, "x2": {"field": other}, "y": _y(height)}

    layers = [
        _named("line under", {"type": "rule", "strokeWidth": thin}, at("low", "under_to")),
        _named("line over", {"type": "rule", "strokeWidth": 2 * thin}, at("over_from", "high")),
        _named(
            "box under",
            {"type": "bar", "height": thick, "fill": GROUND, "stroke": INK, "strokeWidth": thin},
            at("inner_low", "inner_under_to"),
        ),
        _named(
            "box over",
            {"type": "bar", "height": thick, "fill": INK, "stroke": INK, "strokeWidth": thin},
            at("inner_over_from", "inner_high"),
        ),
        {
            "name": "cut-off",
            "data": {"values": [_cut_in(top, layout) for top in drawn]},
            "mark": {"type": "rule", "strokeWidth": thin, "color": ACCENT},
            "encoding": {
                "x": {"datum": cut_off, **x},
                "y": {"field": "from", **y_scale(height)},
                "y2": {"field": "to"},
            },
        },
        {
            "name": "looks",
            "data": {"values": ratings},
            "mark": {
                "type": "tick",
                "orient": "vertical",
                "thickness": thin,
                "size": layout.figure / 2,
                "color": INK_2,
            },
            "encoding": {"x": {"field": "look", **x}, "y": _y(height)},
        },
        _named(
            "mean",
            {
                "type": "point",
                "shape": "circle",
                "size": layout.figure * 4,
                "fill": GROUND,
                "stroke": INK,
                "strokeWidth": thin,
                "opacity": 1,
            },
            {"x": {"field": "mean_drawn", **x}, "y": _y(height)},
        ),
        _label("cut-off said", cut_off_said, {"datum": cut_off, **x}, layout),
        *_column_titles(layout, plot),
        *_row_texts(layout, plot, height),
    ]
    return view(layout, values, layers, height=height, foot=26) | {
        "usermeta": {"drawing": "ranges", "cut_off": cut_off, "said": cut_off_said, "ends": ends}
    }


def _cut_in(top: int, layout: Layout) -> dict[str, int]:
    """Return the cut-off's stretch in a row; beside stacked words it leaves the words alone."""
    if layout.is_stacked:
        return {"from": top + layout.middle - 20, "to": top + layout.middle + 28}
    return {"from": top, "to": top + layout.step}


def _column_titles(layout: Layout, plot: int) -> list[dict[str, Any]]:
    if layout.is_stacked:
        return []
    columns = (
        ("mean", plot + 16, "left"),
        ("nine in ten", plot + 16 + 3.1 * layout.figure, "left"),
        ("over it", layout.width - layout.names, "right"),
    )
    return [
        _label(f"title of {said}", said, {"value": across}, layout, align=align)
        for said, across, align in columns
    ]


def _row(row: Range, cut_off: float) -> dict[str, Any]:
    has_interval = row.low is not None and row.high is not None
    figures: dict[str, Any] = {
        "name": row.name,
        "small": row.small,
        "mean": row.mean,
        "mean_drawn": row.mean if has_interval else None,
        "low": row.low,
        "high": row.high,
        "inner_low": row.inner_low,
        "inner_high": row.inner_high,
        "figure": "" if row.mean is None else _figure(row.mean, has_interval=has_interval),
        "span": "",
        "over": "" if row.over is None else f"{format_hundredths(row.over)} in 100",
        "nothing": "No sheet of it is complete: nothing is known." if row.mean is None else "",
    }
    if row.low is not None and row.high is not None:
        figures["span"] = f"{format_tenth(row.low)} to {format_tenth(row.high)}"
        for name, low, high in (("", row.low, row.high), ("inner_", row.inner_low, row.inner_high)):
            # A part on either side of the cut-off, or none there.
            if low is not None and low < cut_off:
                figures[f"{name}under_to"] = min(high or low, cut_off)
            if high is not None and high > cut_off:
                figures[f"{name}over_from"] = max(low or high, cut_off)
    return figures


def _figure(mean: float, *, has_interval: bool) -> str:
    return format_tenth(mean) if has_interval else f"{mean:.2f}"


def _row_texts(layout: Layout, plot: int, height: int) -> list[dict[str, Any]]:
    """Write what stands beside the drawing, or above and below it."""
    y = y_scale(height)
    # Field to across, down from the row's top, side and room.
    places: dict[str, tuple[float, float, str, float]]
    if layout.is_stacked:
        below = layout.middle + 42
        places = {
            "name": (0, layout.middle - 52, "left", layout.width),
            "small": (0, layout.middle - 32, "left", layout.width),
            "figure": (0, below, "left", 80),
            "span": (64, below, "left", 120),
            "over": (layout.width, below, "right", 140),
            "nothing": (0, layout.middle, "left", layout.width),
        }
    else:
        right, room = layout.width - layout.names, layout.names - 12
        places = {
            "name": (-layout.names, layout.middle - layout.text * 0.6, "left", room),
            "small": (-layout.names, layout.middle + layout.small * 0.7, "left", room),
            "figure": (plot + 16, layout.middle, "left", 80),
            "span": (plot + 16 + 3.1 * layout.figure, layout.middle, "left", 120),
            "over": (right, layout.middle, "right", 120),
            "nothing": (8, layout.middle, "left", plot),
        }
    return row_texts(places, layout, y, under="top", strong=("name", "figure", "over"))


def _named(name: str, mark: dict[str, Any], encoding: dict[str, Any]) -> dict[str, Any]:
    """Return a layer of marks that leaves out the rows that lack its figures."""
    fields = [each["field"] for each in encoding.values() if "field" in each]
    has = " && ".join(f"isValid(datum.{field})" for field in fields)
    return {
        "name": name,
        "transform": [{"filter": has}],
        "mark": {"color": INK, "clip": False, **mark},
        "encoding": encoding,
    }


def _label(
    name: str, said: str, x: dict[str, Any], layout: Layout, *, align: str = "center"
) -> dict[str, Any]:
    is_cut_off = "datum" in x
    return {
        "name": name,
        "data": {"values": [{}]},
        "mark": {
            "type": "text",
            "text": said,
            "align": align,
            "baseline": "middle",
            "fontSize": layout.small,
            "fontWeight": "bold" if is_cut_off else "normal",
            "color": ACCENT if is_cut_off else INK_2,
        },
        "encoding": {"x": x, "y": {"value": 11}},
    }


def _x_scale(ends: tuple[float, float], plot: int) -> dict[str, Any]:
    low, high = round(ends[0]), round(ends[1])
    each = next(step for step in (1, 2, 5, 10, 20, 50) if (high - low) / step < MOST_LABELS)
    # On round points, so that a line of many reads 60, 70, 80.
    labels = [point for point in range(low, high + 1) if point % each == 0]
    return {
        "type": "quantitative",
        # Set in a little, so that the labels at the ends are whole.
        "scale": {"domain": [low, high], "range": [10, plot - 10], "nice": False, "zero": False},
        "axis": {"values": labels, "format": "d", "title": None, "grid": False, "tickSize": 4},
    }


def _y(height: int) -> dict[str, Any]:
    return {"field": "at", **y_scale(height)}


def range_chart(title: str, rows: Sequence[Range], evidence: Mapping[str, Any]) -> Chart:
    cut_off = evidence["cut_off"]
    drawn = [
        end
        for row in rows
        for end in (*row.ratings, row.low, row.high, row.mean)
        if end is not None
    ]
    # Whole points around all values, so that every mark lies inside the drawing.
    ends = (
        float(floor(min([*drawn, cut_off])) - 1),
        float(ceil(max([*drawn, cut_off])) + 1),
    )
    return Chart(
        title=f"{title}, on a line from {ends[0]:g} to {ends[1]:g} points; "
        f"the cut-off is at {points(cut_off)}",
        drawn=draw_ranges(
            rows, cut_off=cut_off, cut_off_said=f"cut-off {points(cut_off)}", ends=ends
        ),
        said=range_lines(rows),
    )
