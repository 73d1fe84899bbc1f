"""The picture of ranks: a ribbon for each coffee, as high as each rank is likely."""

from collections.abc import Mapping, Sequence
from typing import Any

from crustbreak.reports.charts.specs import INK, INK_2, Layout, layouts_for, view, y_scale
from crustbreak.reports.text import format_hundredths, format_in_100

# A rank less likely than this has no ribbon and no number.
NOTHING = 0.01


def draw_ranks(ranks: Mapping[str, Sequence[float]]) -> dict[str, dict[str, Any]]:
    """Draw, for each name, a ribbon as high as each rank is likely.

    Args:     ranks: chances of the first, the second ... rank, each 0 to 1.
    Returns:  a spec for each of `LAYOUTS`.
    """
    return {name: _ranks(ranks, layout) for name, layout in layouts_for(len(ranks)).items()}


def rank_lines(ranks: Mapping[str, Sequence[float]]) -> tuple[str, ...]:
    """Return in words each ribbon in a sentence."""
    return tuple(
        f"{name}: "
        + ", ".join(f"rank {nth} {format_in_100(chance)}" for nth, chance in enumerate(chances, 1))
        + "."
        for name, chances in ranks.items()
    )


def _ranks(ranks: Mapping[str, Sequence[float]], layout: Layout) -> dict[str, Any]:
    plot = layout.width - layout.names
    count = len(ranks)
    name_room = layout.text + 8 if layout.is_stacked else 0
    step = name_room + layout.ribbon + layout.small + (8 if layout.ribbon > layout.text else 3)
    height = count * step
    ribbons: list[dict[str, Any]] = []
    numbers: list[dict[str, Any]] = []
    titles: list[dict[str, Any]] = []
    for nth, (name, chances) in enumerate(ranks.items()):
        middle = nth * step + name_room + layout.ribbon / 2
        half = [0.0, *(layout.ribbon / 2 * chance for chance in chances), 0.0]
        places = [0.5, *range(1, count + 1), count + 0.5]
        titles.append({"name": name, "at": nth * step + 9 if layout.is_stacked else middle})
        ribbons += [
            {"name": name, "rank": rank, "from": middle - each, "to": middle + each}
            for rank, each in _drawn(places, half, chances)
        ]
        numbers += [
            {
                "name": name,
                "rank": rank,
                "chance": chance,
                "said": "" if chance < NOTHING else format_hundredths(chance),
                "most": chance == max(chances),
                "at": middle + layout.ribbon / 2 + layout.small * 0.7,
            }
            for rank, chance in enumerate(chances, 1)
        ]
    x = {
        "type": "quantitative",
        "scale": {"domain": [0.5, count + 0.5], "nice": False, "zero": False},
        "axis": None,
    }
    y = y_scale(height)
    layers: list[dict[str, Any]] = [
        {
            "name": "ribbons",
            "data": {"values": ribbons},
            "mark": {"type": "area", "color": INK, "opacity": 1},
            "encoding": {
                "x": {"field": "rank", **x},
                "y": {"field": "from", **y},
                "y2": {"field": "to"},
                "detail": {"field": "name"},
            },
        },
        *(
            {
                "name": which,
                "transform": [{"filter": f"datum.most === {str(most).lower()}"}],
                "mark": {
                    "type": "text",
                    "fontSize": layout.small,
                    "fontWeight": weight,
                    "color": colour,
                    "baseline": "middle",
                },
                "encoding": {
                    "x": {"field": "rank", **x},
                    "y": {"field": "at", **y},
                    "text": {"field": "said"},
                },
            }
            for which, most, weight, colour in (
                ("chances", False, "normal", INK_2),
                ("likeliest", True, "bold", INK),
            )
        ),
        {
            "name": "names",
            "data": {"values": titles},
            "mark": {
                "type": "text",
                "align": "left",
                "baseline": "middle",
                "fontSize": layout.text,
                "fontWeight": "bold",
                "color": INK,
                "limit": layout.names - 12 if layout.names else layout.width,
            },
            "encoding": {
                "x": {"value": -layout.names},
                "y": {"field": "at", **y},
                "text": {"field": "name"},
            },
        },
    ]
    picture = view(layout, numbers, layers, height=height, foot=2)
    # No figures stand beside it.
    picture["padding"]["right"] = 0
    return picture | {"width": plot, "usermeta": {"drawing": "ranks"}}


def _drawn(
    places: Sequence[float], half: Sequence[float], chances: Sequence[float]
) -> list[tuple[float, float]]:
    """Leave out the ends that are as good as nothing: they would be drawn as a hair."""
    likely = [nth for nth, chance in enumerate(chances, 1) if chance >= NOTHING]
    first, last = min(likely) - 1, max(likely) + 1
    return list(zip(places, half, strict=True))[first : last + 1]
