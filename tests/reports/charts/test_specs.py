"""The specs are Vega-Lite, by its own schema, and come out the same each time."""

import json
from importlib.resources import files
from typing import Any
from xml.etree import ElementTree as ET

import pytest
from jsonschema import Draft7Validator

from crustbreak.questions.match.chart import BowlRow, DifferenceBand, draw_bowls
from crustbreak.reports.charts.intervals import Range, draw_ranges
from crustbreak.reports.charts.ranks import draw_ranks
from crustbreak.reports.charts.specs import (
    CLOSE_FROM,
    LAYOUTS,
    PAINT,
    SCHEMA,
    Layout,
    as_svg,
    layouts_for,
    row_texts,
    view,
    y_scale,
)

SVG = "{http://www.w3.org/2000/svg}"
ROWS = (
    Range(
        name="Tarn </text><script>",
        small="stood as 204",
        mean=84.9,
        low=83.8,
        high=86.0,
        inner_low=84.4,
        inner_high=85.4,
        over=0.73,
        ratings=(84.0, 85.5),
    ),
    Range(name="Fen", small="stood as 101", mean=None),
)
BOWLS = (
    BowlRow(name="Tarn </text><script>", small="control, blind", marks=(1.0, 0.5, 1.0)),
    BowlRow(name="Tarn 2", small="compared", marks=(), is_new=True),
)


def specs() -> list[dict[str, Any]]:
    ranges = draw_ranges(ROWS, cut_off=84.5, cut_off_said="cut-off 84.50", ends=(82.0, 88.0))
    ranks = draw_ranks({"Tarn": [0.75, 0.25], "Fen": [0.25, 0.75]})
    bowls = draw_bowls(BOWLS, DifferenceBand(within=1.5, mean=1.7, low=-0.4, high=2.8), most=5.0)
    alone = draw_bowls(BOWLS[:1], None, most=5.0)
    pictures = (ranges, ranks, bowls, alone)
    return [spec for picture in pictures for spec in picture.values()]


@pytest.fixture(scope="module")
def validator() -> Draft7Validator:
    """Give the schema that Vega-Lite publishes, as Altair carries it."""
    schema = files("altair.vegalite.v6.schema") / "vega-lite-schema.json"
    return Draft7Validator(json.loads(schema.read_text(encoding="utf-8")))


@pytest.mark.parametrize("spec", specs())
def test_a_spec_is_vega_lite_by_its_own_schema(
    spec: dict[str, Any], validator: Draft7Validator
) -> None:
    assert spec["$schema"] == SCHEMA
    assert [error.message for error in validator.iter_errors(spec)] == []


@pytest.mark.parametrize("spec", specs())
def test_is_whole_xml_of_the_layouts_width_with_nothing_but_drawing(spec: dict[str, Any]) -> None:
    svg = ET.fromstring(as_svg(spec))

    assert int(svg.attrib["width"]) in {layout.width for layout in LAYOUTS.values()}
    drawn = {each.tag.removeprefix(SVG) for each in svg.iter()}
    assert drawn <= {"svg", "g", "path", "line", "rect", "text"}
    assert not any("style" in each.attrib for each in svg.iter())
    marks = [each for each in svg.iter() if "role-mark" in each.attrib.get("class", "")]
    assert marks
    assert {each.attrib.get("aria-hidden") for each in marks} == {"true"}


def test_is_the_same_each_time_and_painted_where_asked() -> None:
    spec = specs()[1]

    page, paper = as_svg(spec), as_svg(spec, paint=PAINT)

    assert page == as_svg(json.loads(json.dumps(spec)))
    assert "var(--ink)" in page
    assert "var(" not in paper
    assert PAINT["var(--accent)"] in paper


def test_many_rows_are_drawn_closer_on_paper_alone() -> None:
    few, many = layouts_for(CLOSE_FROM - 1), layouts_for(CLOSE_FROM)

    assert few == LAYOUTS
    assert many["paper"].step < few["paper"].step
    assert (many["wide"], many["narrow"]) == (few["wide"], few["narrow"])


def test_a_layout_without_columns_is_stacked() -> None:
    stacked = {name: layout.is_stacked for name, layout in LAYOUTS.items()}

    assert stacked == {"wide": False, "paper": False, "narrow": True}


def test_puts_layers_on_pixels_from_the_top() -> None:
    layout = Layout(
        width=100,
        names=20,
        numbers=30,
        step=10,
        middle=5,
        ribbon=8,
        text=4,
        small=3,
        figure=5,
    )
    dot = {
        "mark": {"type": "point"},
        "encoding": {"x": {"value": 25}, "y": {"field": "at", **y_scale(40)}},
    }

    svg = as_svg(view(layout, [{"at": 30}], [dot], height=40, foot=2))

    # Half of the fifty that the columns leave; thirty of forty from the top.
    assert "translate(25,30)" in svg
    assert 'width="100" height="42"' in svg


def test_writes_the_fields_of_a_row_where_the_row_is() -> None:
    places = {"name": (0.0, -4.0, "left", 80.0), "small": (10.0, 6.0, "right", 40.0)}

    name, small = row_texts(places, LAYOUTS["wide"], y_scale(100), under="at", strong=("name",))

    assert name["transform"][0]["calculate"] == "datum.at + -4.0"
    assert (name["mark"]["fontWeight"], small["mark"]["fontWeight"]) == ("bold", "normal")
    assert name["mark"]["fontSize"] == LAYOUTS["wide"].text
    assert (small["mark"]["align"], small["mark"]["limit"]) == ("right", 40.0)
