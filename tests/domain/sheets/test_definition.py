"""A sheet is data: what the shipped one says, and what a spoilt one is told."""

from collections.abc import Callable
from typing import Any

import pytest

from crustbreak.core.errors import Problem, Unacceptable
from crustbreak.domain.sheets.definition import Line, Option, Round, ScoreClass, Sheet, read_sheet
from tables import difference, difference_definition, ten_line, ten_line_definition

Spoil = Callable[[dict[str, Any]], object]

FLAVOR, SWEETNESS, NOTE = 1, 6, 11
ANCHORS = {6.0: "good", 7.0: "very good", 8.0: "excellent", 9.0: "outstanding"}


DIFFERENCE, DIRECTION = 0, 1


def problems_of(spoil: Spoil, definition: dict[str, Any] | None = None) -> tuple[Problem, ...]:
    definition = definition or ten_line_definition()
    spoil(definition)
    with pytest.raises(Unacceptable) as refused:
        read_sheet(definition, name="house.toml")
    return refused.value.problems


def scales(sheet: Sheet) -> list[Line]:
    return [line for line in sheet.lines if line.kind == "scale"]


def test_ten_lines_are_scored_and_one_is_taken_off() -> None:
    """Names of the lines as on the form. Source: [S1]."""
    sheet = ten_line()

    assert {line.id for line in sheet.scored if not line.penalty} == {
        *("fragrance_aroma", "flavor", "aftertaste", "acidity", "body"),
        *("balance", "uniformity", "clean_cup", "sweetness", "overall"),
    }
    assert [line.id for line in sheet.scored if line.penalty] == ["defects"]
    assert [line.id for line in sheet.lines if line.kind == "words"] == ["note"]


def test_seven_lines_go_from_six_to_ten_by_quarters() -> None:
    """Scale and its words. Source: [S1]."""
    lines = scales(ten_line())

    assert len(lines) == 7
    assert {(line.least, line.most, line.step) for line in lines} == {(6.0, 10.0, 0.25)}
    assert all(line.anchors == ANCHORS for line in lines)


def test_three_lines_have_five_bowls_at_two_points() -> None:
    """Five boxes of two points. Source: [S1]."""
    sheet = ten_line()
    boxes = [line for line in sheet.lines if line.kind == "cups" and not line.penalty]

    assert sheet.cups == 5
    assert len(boxes) == 3
    assert all([option.points for option in line.options] == [2.0, 0.0] for line in boxes)


def test_taint_takes_two_points_a_bowl_and_fault_four() -> None:
    """Intensity 2 and 4, times the bowls. Source: [S1]."""
    defects = ten_line().line("defects")

    assert defects is not None
    assert {option.id: option.points for option in defects.options} == {
        "none": 0.0,
        "taint": -2.0,
        "fault": -4.0,
    }


def test_rounds_cool_down_in_the_order_of_tasting() -> None:
    """Order of evaluation: smell, flavor while hot, bowls compared last. Source: [S1]."""
    sheet = ten_line()
    asked = {line.id: line.round for line in sheet.lines}

    assert [each.id for each in sheet.rounds] == ["smell", "hot", "warm", "cool"]
    assert asked["fragrance_aroma"] == "smell"
    assert asked["flavor"] == asked["aftertaste"] == "hot"
    assert asked["acidity"] == asked["body"] == asked["balance"] == "warm"
    assert asked["sweetness"] == asked["uniformity"] == asked["clean_cup"] == "cool"
    assert asked["overall"] == asked["defects"] == "cool"
    assert asked["note"] == ""


def test_classes_go_down_from_ninety() -> None:
    """Source: [S1], classes of the total."""
    assert ten_line().classes == (
        ScoreClass(least=90.0, title="outstanding"),
        ScoreClass(least=85.0, title="excellent"),
        ScoreClass(least=80.0, title="very good"),
        ScoreClass(least=0.0, title="below specialty"),
    )


def test_lines_and_options_are_found_by_id_or_not_at_all() -> None:
    sheet = ten_line()
    line = sheet.line("sweetness")

    assert line is not None
    assert line.option("sweet") == Option(id="sweet", said="sweet", points=2.0)
    assert (line.option("sour"), line.option(None), line.option(["sweet"])) == (None,) * 3
    assert (sheet.line("sour"), sheet.line(None)) == (None, None)


def test_sheet_is_named_with_its_version() -> None:
    sheet = ten_line()

    assert (sheet.ref, sheet.title, sheet.source) == ("ten_line/1", "Ten-line sheet", "S1")
    assert sheet.rounds[0] == Round(
        id="smell", title="Smell", say="Dry under the lid, then as the crust breaks."
    )


def test_smallest_sheet_has_one_round_one_line_and_no_class() -> None:
    definition = {
        "id": "note",
        "version": 2,
        "title": "Note",
        "source": "ours",
        "cups": 1,
        "rounds": [{"id": "once", "title": "Once", "say": "Drink."}],
        "lines": [{"id": "said", "title": "Said", "kind": "words"}],
    }

    sheet = read_sheet(definition, name="note.toml")

    assert (sheet.ref, sheet.scored, sheet.classes) == ("note/2", (), ())


@pytest.mark.parametrize(
    ("spoil", "where", "rule", "found"),
    [
        (
            lambda sheet: sheet["lines"][FLAVOR].update(kind="stars"),
            "house.toml, line flavor",
            "its kind is one of scale, cups, choice, words",
            "stars",
        ),
        (
            lambda sheet: sheet["lines"][FLAVOR].update(round="boiling"),
            "house.toml, line flavor",
            "it is asked in a round of the sheet",
            "boiling",
        ),
        (
            lambda sheet: sheet["lines"][FLAVOR].pop("round"),
            "house.toml, line flavor",
            "it is asked in a round of the sheet",
            "none",
        ),
        (
            lambda sheet: sheet["lines"][NOTE].update(round="boiling"),
            "house.toml, line note",
            "it is asked in a round of the sheet",
            "boiling",
        ),
        (
            lambda sheet: sheet["lines"][FLAVOR].update(step=0),
            "house.toml, line flavor",
            "its scale goes up in steps that fill it",
            "6 to 10 by 0",
        ),
        (
            lambda sheet: sheet["lines"][FLAVOR].update(step=0.1),
            "house.toml, line flavor",
            "its scale goes up in steps that fill it",
            "6 to 10 by 0.1",
        ),
        (
            lambda sheet: sheet["lines"][FLAVOR].update(most=6, anchors={}),
            "house.toml, line flavor",
            "its scale goes up in steps that fill it",
            "6 to 6 by 0.25",
        ),
        (
            lambda sheet: sheet["lines"][FLAVOR].update(anchors={"11": "divine"}),
            "house.toml, line flavor",
            "its words stand on its scale",
            "11",
        ),
        (
            lambda sheet: sheet["lines"][SWEETNESS]["options"].pop(),
            "house.toml, line sweetness",
            "a line of bowls or a choice, and no other, has two options at least",
            "1",
        ),
        (
            lambda sheet: sheet["lines"][FLAVOR].update(
                options=sheet["lines"][SWEETNESS]["options"]
            ),
            "house.toml, line flavor",
            "a line of bowls or a choice, and no other, has two options at least",
            "2",
        ),
        (
            lambda sheet: sheet["lines"][SWEETNESS]["options"][1].update(id="sweet"),
            "house.toml, line sweetness",
            "each id stands once",
            "sweet",
        ),
        (
            lambda sheet: sheet["lines"].append(sheet["lines"][FLAVOR]),
            "house.toml, lines",
            "each id stands once",
            "flavor",
        ),
        (
            lambda sheet: sheet["rounds"].append(sheet["rounds"][0]),
            "house.toml, rounds",
            "each id stands once",
            "smell",
        ),
        (
            lambda sheet: sheet["classes"].reverse(),
            "house.toml, classes",
            "they go from the highest down",
            "0, 80, 85, 90",
        ),
        (
            lambda sheet: sheet["classes"].append({"least": 0.0, "title": "again"}),
            "house.toml, classes",
            "they go from the highest down",
            "90, 85, 80, 0, 0",
        ),
    ],
)
def test_every_unsound_rule_is_named_where_it_is(
    spoil: Spoil, where: str, rule: str, found: str
) -> None:
    (problem,) = problems_of(spoil)

    assert (problem.where, problem.rule, problem.found) == (where, rule, found)
    assert problem.remedy.endswith(".")


def test_all_faults_of_a_definition_are_named_at_once() -> None:
    def spoil(sheet: dict[str, Any]) -> None:
        sheet["lines"][FLAVOR].update(kind="stars", round="boiling")
        sheet["classes"].reverse()

    assert len(problems_of(spoil)) == 3


def test_fault_of_shape_is_refused_with_the_file_and_the_next_step() -> None:
    definition = ten_line_definition()
    del definition["cups"]

    with pytest.raises(Unacceptable) as refused:
        read_sheet(definition, name="house.toml")

    assert refused.value.message == "The sheet house.toml has 1 thing to mend."
    assert refused.value.hint == "Add 'cups' to the definition."


def test_a_line_that_compares_bowls_is_not_asked_of_one_alone() -> None:
    sheet = ten_line()
    asked = {line.id: sheet.asked(line, 1) for line in sheet.scored if line.kind == "cups"}

    assert asked == {"sweetness": True, "uniformity": False, "clean_cup": True, "defects": True}
    assert all(sheet.asked(line, 2) for line in sheet.scored)


def test_one_line_of_the_difference_sheet_counts_from_nought_to_five_by_halves() -> None:
    """A category scale from no difference to a very large one. Source: [S28]."""
    sheet = difference()
    (line,) = sheet.scored

    assert (sheet.ref, sheet.cups, line.id) == ("difference/1", 1, "difference")
    assert (line.least, line.most, line.step) == (0.0, 5.0, 0.5)
    assert line.anchors[0.0] == "the same"
    assert sorted(line.anchors) == [0.0, 1.0, 2.0, 3.0, 4.0, 5.0]


def test_two_choices_stand_beside_the_difference_and_are_worth_nothing() -> None:
    sheet = difference()
    scale, direction, differs, note = sheet.lines

    assert sheet.beside(scale) == (direction, differs)
    assert (sheet.beside(direction), sheet.beside(note)) == ((), ())
    assert [option.said for option in direction.options] == ["better", "worse", "neither"]
    assert [option.said for option in differs.options] == [
        *("aroma", "flavour", "acidity", "sweetness", "body", "aftertaste", "off-note")
    ]
    assert {option.points for line in (direction, differs) for option in line.options} == {0.0}


@pytest.mark.parametrize(
    ("line", "changed", "found"),
    [
        (DIRECTION, {"beside": "direction"}, "direction"),
        (DIRECTION, {"beside": "note"}, "note"),
        (DIRECTION, {"beside": "sourness"}, "sourness"),
        (DIRECTION, {"beside": ""}, "none"),
        (DIRECTION, {"round": "cool"}, "difference"),
        (DIFFERENCE, {"beside": "difference"}, "difference"),
    ],
)
def test_a_choice_stands_beside_a_scale_of_its_round_and_nothing_else_does(
    line: int, changed: dict[str, str], found: str
) -> None:
    definition = difference_definition()
    definition["rounds"].append({"id": "cool", "title": "Cool", "say": "Wait."})
    asked = {key: value for key, value in changed.items() if value}

    def spoil(sheet: dict[str, Any]) -> None:
        sheet["lines"][line].update(asked)
        for key in changed.keys() - asked.keys():
            del sheet["lines"][line][key]

    (problem,) = problems_of(spoil, definition)

    assert problem.rule == "a choice, and no other, stands beside a scale of its round"
    assert problem.found == found
    assert problem.remedy.startswith("Make it a choice beside one of: ")


def test_a_choice_of_one_word_is_none() -> None:
    def spoil(sheet: dict[str, Any]) -> None:
        del sheet["lines"][DIRECTION]["options"][1:]

    (problem,) = problems_of(spoil, difference_definition())

    assert problem.rule == "a line of bowls or a choice, and no other, has two options at least"
    assert (problem.where, problem.found) == ("house.toml, line direction", "1")
