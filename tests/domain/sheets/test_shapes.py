"""Whatever a definition holds, it is named and nothing breaks."""

from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.core.errors import Unacceptable
from crustbreak.domain.sheets.definition import read_sheet
from crustbreak.domain.sheets.shapes import LINE, SHEET, Field, misshapen
from tables import difference_definition, ten_line_definition

ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inside: st.lists(inside, max_size=3) | st.dictionaries(st.text(max_size=5), inside),
    max_leaves=8,
)


def needed(fields: dict[str, Field]) -> list[str]:
    return [name for name, field in fields.items() if field.needed]


def test_shipped_definition_has_the_right_shape() -> None:
    assert misshapen(ten_line_definition(), "ten_line.toml") == ()
    assert misshapen(difference_definition(), "difference.toml") == ()


@pytest.mark.parametrize("name", needed(SHEET))
def test_sheet_without_a_needed_field_is_told_to_add_it(name: str) -> None:
    definition = ten_line_definition()
    del definition[name]

    (problem,) = misshapen(definition, "house.toml")

    assert (problem.where, problem.rule) == ("house.toml", f"a sheet has '{name}'")
    assert (problem.found, problem.remedy) == ("nothing there", f"Add '{name}' to the definition.")


@pytest.mark.parametrize("name", ["id", "title", "kind"])
def test_line_without_a_needed_field_is_found_by_its_name_or_number(name: str) -> None:
    definition = ten_line_definition()
    del definition["lines"][1][name]

    (problem,) = misshapen(definition, "house.toml")

    assert needed(LINE) == ["id", "title", "kind"]
    assert problem.where == ("house.toml, line 2" if name == "id" else "house.toml, line flavor")


def test_misspelt_field_is_told_the_nearest_word() -> None:
    definition = ten_line_definition()
    definition["lines"][6]["options"][0]["pionts"] = 2.0

    (problem,) = misshapen(definition, "house.toml")

    assert problem.where == "house.toml, line sweetness, option sweet"
    assert (problem.found, problem.remedy) == ("pionts", "Did you mean points?")


@pytest.mark.parametrize(
    ("at", "name", "value", "found"),
    [
        ((), "version", True, "True"),
        ((), "version", 1.5, "1.5"),
        ((), "version", 0, "0"),
        ((), "cups", -5, "-5"),
        ((), "title", "", "nothing"),
        ((), "title", "  ", "  "),
        ((), "title", "x" * 201, "x" * 40 + "..."),
        ((), "rounds", [], "[]"),
        ((), "lines", "flavor", "flavor"),
        ((), "classes", {}, "{}"),
        (("lines", 1), "step", float("nan"), "nan"),
        (("lines", 1), "most", float("inf"), "inf"),
        (("lines", 1), "most", 10**5000, "int, too long to write"),
        (("lines", 1), "least", "six", "six"),
        (("lines", 1), "least", False, "False"),
        (("lines", 1), "anchors", {"good": "6"}, "{'good': '6'}"),
        (("lines", 1), "anchors", {"nan": "good"}, "{'nan': 'good'}"),
        (("lines", 1), "anchors", {"6": 6}, "{'6': 6}"),
        (("lines", 10), "penalty", "yes", "yes"),
        (("lines", 6, "options", 0), "points", None, "nothing"),
        (("classes", 0), "least", "90", "90"),
        (("rounds", 0), "say", 4, "4"),
    ],
    ids=lambda value: type(value).__name__,
)
def test_field_of_the_wrong_kind_is_named_with_what_was_found(
    at: tuple[Any, ...], name: str, value: object, found: str
) -> None:
    definition = ten_line_definition()
    holder: Any = definition
    for step in at:
        holder = holder[step]
    holder[name] = value

    (problem,) = misshapen(definition, "house.toml")

    assert problem.rule.startswith(f"'{name}' is ")
    assert (problem.found, problem.remedy) == (found, f"Mend '{name}' in the definition.")


@pytest.mark.parametrize("definition", [None, [], "ten_line", 7, True])
def test_what_is_no_table_of_fields_is_told_which_fields(definition: object) -> None:
    (problem,) = misshapen(definition, "house.toml")

    assert problem.rule == "a sheet is a table of named fields"
    assert problem.remedy.startswith("Give it id, version, title")


def test_line_that_is_no_table_is_found_by_its_number() -> None:
    definition = ten_line_definition()
    definition["lines"][2] = "aftertaste"

    (problem,) = misshapen(definition, "house.toml")

    assert (problem.where, problem.found) == ("house.toml, line 3", "aftertaste")


@given(st.dictionaries(st.sampled_from([*SHEET, "extra"]), ANYTHING))
def test_any_definition_is_read_or_refused_and_never_breaks(definition: dict[str, Any]) -> None:
    told = misshapen(definition, "house.toml")

    assert all(problem.where and problem.rule and problem.found for problem in told)


@given(st.sampled_from(sorted(LINE)), ANYTHING)
def test_any_field_of_a_line_is_read_or_refused_and_never_breaks(name: str, value: object) -> None:
    definition = ten_line_definition()
    definition["lines"][1][name] = value

    with suppress(Unacceptable):
        assert len(read_sheet(definition, name="house.toml").lines) == 12


def test_a_word_of_a_choice_has_no_points_and_one_of_a_bowl_has() -> None:
    choice, bowls = difference_definition(), ten_line_definition()
    choice["lines"][1]["options"][0]["points"] = 2.0
    del bowls["lines"][6]["options"][0]["points"]

    (more,) = misshapen(choice, "house.toml")
    (less,) = misshapen(bowls, "house.toml")

    assert (more.where, more.found) == ("house.toml, line direction, option better", "points")
    assert more.rule == "an option has only fields that there are"
    assert less.rule == "an option has 'points'"
