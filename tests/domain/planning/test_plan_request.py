"""What is asked of a plan before anything is drawn."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.core.errors import Problem
from crustbreak.domain.planning.plan_request import (
    PlanDraft,
    Terms,
    as_compared,
    check_cut_off,
    check_draft,
    check_people,
    check_text,
    score_range,
)
from tables import difference, ten_line

CUT_OFF_RULE = "a number from 22 to 100, two decimals at most"
GOOD: dict[str, Any] = {
    "occasion": "Spring offers",
    "coffees": ("Marrow Hill", "Sallow Bridge", "Fen Cross"),
    "tasters": ("Ines", "Tomas"),
    "cut_off": 84.5,
    "setter": "Wren",
}


def check(**changed: Any) -> tuple[Problem, ...]:
    draft = PlanDraft(**{**GOOD, **changed})
    return check_draft(draft, ten_line(), least_coffees=3, most_coffees=5, bowls=(5, 3, 1))


@pytest.mark.parametrize(
    "changed",
    [
        {},
        {"occasion": ""},
        {"coffees": ("a", "b", "c", "d", "e")},
        {"coffees": ("x" * 80, "\u05e7\u05e4\u05d4", "Caf\u00e9 \u2615")},
        {"tasters": ("Ines",)},
        {"tasters": tuple(f"taster {n}" for n in range(12))},
        {"cut_off": 22.0},
        {"cut_off": 100},
        # The setter may also taste; the papers say so.
        {"setter": "Ines"},
        {"bowls": 3},
    ],
    ids=str,
)
def test_plan_that_can_be_drawn_has_no_problem(changed: dict[str, Any]) -> None:
    assert check(**changed) == ()


@pytest.mark.parametrize(
    ("changed", "where", "rule", "found"),
    [
        ({"bowls": 4}, "Bowls of each coffee", "one of 5, 3, 1", "4"),
        ({"coffees": ()}, "Coffees", "3 to 5 names, one a line", "none"),
        ({"coffees": ("a", "b")}, "Coffees", "3 to 5 names, one a line", "2"),
        ({"coffees": tuple("abcdef")}, "Coffees", "3 to 5 names, one a line", "6"),
        ({"coffees": ("a", "b", "A")}, "Coffees", "each name stands once", "A twice"),
        (
            {"coffees": ("a", "Caf\u00e9", "Cafe\u0301")},
            "Coffees",
            "each name stands once",
            "Cafe\u0301 twice",
        ),
        ({"coffees": ("a", "b", " ")}, "Coffees", "something written", "nothing"),
        ({"coffees": ("a", "b", "\u200b")}, "Coffees", "something written", "nothing"),
        ({"coffees": ("a", "b", "c\x00")}, "Coffees", "signs that can be seen", "c?"),
        ({"coffees": ("a", "b", "c\u202e")}, "Coffees", "signs that can be seen", "c?"),
        (
            {"coffees": ("a", "b", "x" * 81)},
            "Coffees",
            "at most 80 characters",
            "81 in xxxxxxxxxxxxxxxxxxxx...",
        ),
        ({"tasters": ()}, "Tasters", "1 to 12 names, one a line", "none"),
        ({"tasters": tuple("abcdefghijklm")}, "Tasters", "1 to 12 names, one a line", "13"),
        ({"tasters": ("Ines", "INES")}, "Tasters", "each name stands once", "INES twice"),
        (
            {"controls": ("MARROW  hill",)},
            "Control",
            "a coffee of its own, which nobody decides about",
            "MARROW  hill among the coffees",
        ),
        ({"controls": ("a\u202e",)}, "Control", "signs that can be seen", "a?"),
        ({"cut_off": None}, "Cut-off", CUT_OFF_RULE, "no number"),
        ({"cut_off": 21.99}, "Cut-off", CUT_OFF_RULE, "21.99"),
        ({"cut_off": 100.25}, "Cut-off", CUT_OFF_RULE, "100.25"),
        ({"cut_off": float("nan")}, "Cut-off", CUT_OFF_RULE, "nan"),
        ({"cut_off": float("inf")}, "Cut-off", CUT_OFF_RULE, "inf"),
        ({"cut_off": 84.00499}, "Cut-off", CUT_OFF_RULE, "84.00499"),
        ({"cut_off": True}, "Cut-off", CUT_OFF_RULE, "True"),
        ({"setter": ""}, "Who sets the table", "something written", "nothing"),
        ({"occasion": "\n"}, "Occasion", "signs that can be seen", "?"),
    ],
    ids=str,
)
def test_every_broken_rule_is_named_where_it_is(
    changed: dict[str, Any], where: str, rule: str, found: str
) -> None:
    (problem,) = check(**changed)

    assert (problem.where, problem.rule, problem.found) == (where, rule, found)
    assert problem.remedy.endswith(".")


def test_all_problems_are_named_at_once() -> None:
    problems = check(coffees=(), tasters=(), cut_off=None, setter="", occasion="x" * 81)

    assert [problem.where for problem in problems] == [
        "Coffees",
        "Tasters",
        "Cut-off",
        "Who sets the table",
        "Occasion",
    ]


@given(
    names=st.lists(st.text(max_size=100), max_size=7).map(tuple),
    cut_off=st.none() | st.floats() | st.integers(),
    text=st.text(max_size=100),
)
def test_whatever_is_typed_gets_an_answer(
    names: tuple[str, ...], cut_off: float | None, text: str
) -> None:
    problems = check(coffees=names, tasters=names, cut_off=cut_off, setter=text, occasion=text)

    assert all(problem.found and problem.remedy for problem in problems)


def test_huge_texts_and_numbers_get_an_answer() -> None:
    problems = check(occasion="x" * 1_000_000, cut_off=10**5000)

    assert [problem.found for problem in problems] == [
        "int, too long to write",
        "1,000,000 in xxxxxxxxxxxxxxxxxxxx...",
    ]


def test_range_of_a_sheet_is_its_worst_and_its_best() -> None:
    """Seven lines at 6, no bowl ticked, five faults: 42 + 0 - 20. Ten lines at 10: 100."""
    assert score_range(ten_line()) == (22.0, 100.0)
    assert score_range(difference()) == (0.0, 5.0)


@pytest.mark.parametrize(
    ("one", "other"),
    [("Odile", "ODILE "), ("Jos\u00e9", "Jose\u0301"), ("Ana  Maria", "Ana Maria")],
)
def test_names_that_look_alike_on_paper_are_one(one: str, other: str) -> None:
    assert as_compared(one) == as_compared(other)


def test_names_that_differ_by_an_accent_are_two() -> None:
    assert as_compared("Jose") != as_compared("Jos\u00e9")


def test_a_line_of_text_may_be_as_long_as_it_is_told() -> None:
    assert check_text("Why", "a" * 81, needed=True, length=81) == ()
    assert [p.rule for p in check_text("Why", "a" * 82, needed=True, length=81)] == [
        "at most 81 characters"
    ]


@pytest.mark.parametrize(("figure", "holds"), [(84.5, True), (None, False), (84.005, False)])
def test_a_figure_that_decides_is_one_of_the_sheets(figure: float | None, holds: bool) -> None:
    assert (check_cut_off(figure, ten_line()) == ()) is holds


@pytest.mark.parametrize(
    ("terms", "found"),
    [
        (Terms(unread=("USD 8",)), "USD 8"),
        (Terms(price=0.0), "0"),
        (Terms(price=8.0, kilos=1e9), "1e+09"),
    ],
)
def test_says_at_which_coffee_a_price_is_none(terms: Terms, found: str) -> None:
    (problem,) = check(terms=(Terms(price=8.0, kilos=60.0), terms, Terms()))

    assert (problem.where, problem.found) == ("Coffees, 2: Sallow Bridge", found)


def test_two_controls_may_stand_while_one_takes_over_and_no_more() -> None:
    assert check(controls=("Old Post", "New Post")) == ()
    (problem,) = check(controls=("a", "b", "c"))

    assert (problem.where, problem.found) == ("Control", "3")


@pytest.mark.parametrize("people", [0, 5, None])
def test_one_to_four_people_do_the_work(people: int | None) -> None:
    (problem,) = check(people=people)

    assert check(people=4) == check_people(1) == ()
    assert problem.where == "Who pours and breaks"


def test_what_decides_is_named_as_the_question_names_it() -> None:
    (problem,) = check_cut_off(7.0, difference(), title="Largest difference")

    assert (problem.where, problem.rule) == (
        "Largest difference",
        "a number from 0 to 5, two decimals at most",
    )
