"""The pictures of a paper, each from one Vega-Lite spec: for a page, a sheet and a terminal.

A spec says colours by the names of `PAINT`: a page fills them in from its own style, light or
dark, and a sheet of paper from `PAINT`.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

SCHEMA = "https://vega.github.io/schema/vega-lite/v6.json"

INK, INK_2, EDGE, ACCENT, GROUND = (
    "var(--ink)",
    "var(--ink-2)",
    "var(--edge)",
    "var(--accent)",
    "var(--paper)",
)
# What a sheet of paper shows for each, as `@media print` does.
PAINT = {INK: "#000000", INK_2: "#333333", EDGE: "#666666", ACCENT: "#1d3da8", GROUND: "#ffffff"}

# The page's own face; on paper the first of them that `pdf` carries.
FACE = "Avenir Next, Segoe UI Variable Text, Segoe UI, Roboto, Noto Sans, system-ui, sans-serif"


@dataclass(frozen=True, slots=True)
class Layout:
    """Where things stand in a row of a picture, in pixels (on paper 0.26 mm each).

    width:           of the whole picture.
    names, numbers:  columns left and right of the drawing; both 0 when they stand above and
                     below it.
    step:            height of a row. `middle`: of its drawing, from the row's top.
    ribbon:          height of a ribbon at certainty.
    text, small, figure:  sizes of letters.
    """

    width: int
    names: int
    numbers: int
    step: int
    middle: int
    ribbon: int
    text: int
    small: int
    figure: int

    @property
    def is_stacked(self) -> bool:
        """Return whether names stand above the drawing."""
        return not self.names


LAYOUTS = {
    "wide": Layout(
        width=860,
        names=216,
        numbers=256,
        step=52,
        middle=26,
        ribbon=38,
        text=17,
        small=14,
        figure=20,
    ),
    "paper": Layout(
        width=660,
        names=186,
        numbers=178,
        step=34,
        middle=17,
        ribbon=20,
        text=12,
        small=10,
        figure=14,
    ),
    "narrow": Layout(
        width=348,
        names=0,
        numbers=0,
        step=128,
        middle=68,
        ribbon=34,
        text=17,
        small=14,
        figure=20,
    ),
}


# From this many rows on a sheet of paper is drawn closer, so that a full table keeps to two pages.
CLOSE_FROM = 8
CLOSEST_FROM = 11


def layouts_for(rows: int) -> dict[str, Layout]:
    """Return the layouts for a picture of so many rows."""
    if rows < CLOSE_FROM:
        return LAYOUTS
    ribbon = 12 if rows < CLOSEST_FROM else 8
    return {**LAYOUTS, "paper": replace(LAYOUTS["paper"], step=26, middle=13, ribbon=ribbon)}


def as_svg(spec: Mapping[str, Any], *, paint: Mapping[str, str] | None = None) -> str:
    """Draw a spec as SVG; with `paint`, in those colours instead of the page's own."""
    svg = _svg(json.dumps(spec, sort_keys=True))
    for name, colour in (paint or {}).items():
        svg = svg.replace(name, colour)
    return svg


@lru_cache(maxsize=128)
def _svg(spec: str) -> str:
    # It takes a third of a second to start and is needed by few commands.
    from vl_convert import vegalite_to_svg

    return vegalite_to_svg(spec)


def view(
    layout: Layout,
    values: list[dict[str, Any]],
    layers: list[dict[str, Any]],
    *,
    height: int,
    foot: int,
) -> dict[str, Any]:
    """Put layers together in a picture of the layout's width.

    Args:  values: what every layer reads unless it has its own. foot: room below the drawing.
           Heights in pixels.
    """
    axis = {
        "labelColor": INK_2,
        "labelFontSize": layout.small,
        "labelPadding": 4,
        "domainColor": EDGE,
        "tickColor": EDGE,
        "labelFlush": False,
    }
    return {
        "$schema": SCHEMA,
        "width": layout.width - layout.names - layout.numbers,
        "height": height,
        "padding": {"left": layout.names, "right": layout.numbers, "top": 0, "bottom": foot},
        "autosize": "none",
        "background": "transparent",
        "data": {"values": values},
        # What it shows is said beside it, row by row; a screen reader passes over the strokes.
        "layer": [{**layer, "mark": {**layer["mark"], "aria": False}} for layer in layers],
        "config": {"view": {"stroke": None}, "font": FACE, "aria": False, "axis": axis},
    }


def y_scale(height: int) -> dict[str, Any]:
    """Return an encoding on which a figure is so many pixels from the top, of a picture so high."""
    return {
        "type": "quantitative",
        "scale": {"domain": [0, height], "range": [0, height], "nice": False, "zero": False},
        "axis": None,
    }


# Where the texts of a row stand: across, down from where the row is, side and room.
Places = Mapping[str, tuple[float, float, str, float]]


def row_texts(
    places: Places, layout: Layout, y: dict[str, Any], *, under: str, strong: tuple[str, ...]
) -> list[dict[str, Any]]:
    """Return layers that write fields of every row beside its drawing, or above and below it.

    Args:  under: the field that says where a row is, pixels. strong: fields that are bold; names
           and figures are also larger.
    """
    sizes = {"name": layout.text, "figure": layout.figure}
    return [
        {
            "name": field,
            "transform": [{"calculate": f"datum.{under} + {down}", "as": f"y_{field}"}],
            "mark": {
                "type": "text",
                "align": align,
                "baseline": "middle",
                "fontSize": sizes.get(field, layout.small),
                "fontWeight": "bold" if field in strong else "normal",
                "color": INK if field in strong else INK_2,
                "limit": limit,
            },
            "encoding": {
                "x": {"value": across},
                "y": {"field": f"y_{field}", **y},
                "text": {"field": field},
            },
        }
        for field, (across, down, align, limit) in places.items()
    ]
