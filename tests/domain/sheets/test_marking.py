"""A mark fits the sheet, or is told where it does not."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.domain.sheets.marking import NOTE_LENGTH, check_mark
from tables import difference, full_marks, mark, place, ten_line

SCALE = "it lies from 6 to 10 by steps of 0.25"
BOWL = "it names a bowl from 1 to 5"
WHOLE = "it is given for the whole place, not for a bowl"
WORDS = "it is one of alike, differs"
NOTE = "it is a text of at most 4,000 characters"


def check(line: str, value: Any, **changed: Any) -> list[tuple[str, str, str]]:
    problems = check_mark(mark(line, value, **changed), ten_line(), place())
    assert all(problem.remedy.endswith((".", "?")) for problem in problems)
    return [(problem.where, problem.rule, problem.found) for problem in problems]


def test_complete_sheet_has_no_problem() -> None:
    marks = (*full_marks(7.25), mark("note", "plum\nand tea"), mark("note", "", round="smell"))

    assert [check_mark(each, ten_line(), place()) for each in marks] == [()] * len(marks)


@pytest.mark.parametrize("value", [6 + quarter / 4 for quarter in range(17)])
def test_every_quarter_from_six_to_ten_is_on_the_scale(value: float) -> None:
    assert check("flavor", value) == []


def test_mark_may_be_taken_back_on_every_line() -> None:
    assert check("flavor", None) == []
    assert check("uniformity", None, cup=3) == []
    assert check("note", None) == []


@pytest.mark.parametrize(
    ("value", "found"),
    [
        (5.75, "5.75"),
        (10.25, "10.25"),
        (7.1, "7.1"),
        (8.000000001, "8.000000001"),
        (-8, "-8"),
        (float("nan"), "nan"),
        (float("inf"), "inf"),
        (-float("inf"), "-inf"),
        (True, "True"),
        ("8", "8"),
        ("", "nothing"),
        (10**400, "1" + "0" * 39 + "..."),
        (10**5000, "int, too long to write"),
        ([8.0], "[8.0]"),
        ({"value": 8}, "{'value': 8}"),
    ],
    ids=lambda value: type(value).__name__,
)
def test_what_is_off_the_scale_is_told_the_scale(value: object, found: str) -> None:
    assert check("flavor", value) == [("Flavor of 527", SCALE, found)]


@pytest.mark.parametrize("value", ["clean", "", 2.0, True, float("nan"), ["alike"]])
def test_word_that_a_bowl_cannot_get_is_told_the_words(value: object) -> None:
    ((where, rule, _),) = check("uniformity", value, cup=1)

    assert (where, rule) == ("Uniformity of 527", WORDS)


@pytest.mark.parametrize("cup", [None, 0, 6, -1, True, 2.0, "2", float("nan"), 10**400])
def test_line_of_bowls_needs_a_bowl_that_stands_there(cup: Any) -> None:
    ((where, rule, _),) = check("uniformity", "alike", cup=cup)

    assert (where, rule) == ("Uniformity of 527", BOWL)


def test_whole_line_is_not_given_for_one_bowl() -> None:
    assert check("flavor", 8.0, cup=1) == [("Flavor of 527", WHOLE, "1")]
    assert check("note", "plum", cup=1) == [("Note of 527", WHOLE, "1")]


def test_mark_is_given_in_the_round_that_asks_for_it() -> None:
    asked = "it is asked in the round hot"

    assert check("flavor", 8.0, round="cool") == [("Flavor of 527", asked, "cool")]
    assert check("flavor", 8.0, round="") == [("Flavor of 527", asked, "nothing")]


def test_note_may_be_given_in_any_round_of_the_sheet_and_no_other() -> None:
    asked = "it is asked in the round cool or hot or smell or warm"

    assert check("note", "plum", round="warm") == []
    assert check("note", "plum", round="frozen") == [("Note of 527", asked, "frozen")]


def test_note_is_a_text_of_one_page() -> None:
    assert check("note", "x" * NOTE_LENGTH) == []
    assert check("note", "x" * 4001) == [("Note of 527", NOTE, "x" * 40 + "...")]
    assert check("note", 8.0) == [("Note of 527", NOTE, "8.0")]


def test_unknown_line_is_told_the_nearest() -> None:
    (problem,) = check_mark(mark("flavour", 8.0), ten_line(), place())

    assert (problem.where, problem.found) == ("527, flavour", "flavour")
    assert problem.remedy == "Did you mean flavor?"


def test_every_broken_rule_is_named_at_once() -> None:
    rules = [rule for _, rule, _ in check("flavor", 11, cup=1, round="cool")]

    assert rules == ["it is asked in the round hot", WHOLE, SCALE]


@given(
    line=st.sampled_from(["flavor", "uniformity", "note", "splendour"]) | st.text(),
    value=st.none() | st.booleans() | st.integers() | st.floats() | st.text() | st.binary(),
    cup=st.none() | st.integers() | st.floats() | st.text(),
    asked=st.text(),
)
def test_any_mark_gets_an_answer(line: str, value: Any, cup: Any, asked: str) -> None:
    problems = check_mark(mark(line, value, cup=cup, round=asked), ten_line(), place())

    assert all(len(problem.found) <= 43 for problem in problems)


def test_huge_texts_get_a_short_answer() -> None:
    huge = "x" * 1_000_000

    problems = check_mark(mark(huge, huge, round=huge), ten_line(), place())

    assert all(len(str(problem)) < 400 for problem in problems)


def choose(value: Any, **changed: Any) -> list[str]:
    given = mark("direction", value, **{"round": "taste", **changed})
    return [problem.rule for problem in check_mark(given, difference(), place(cups=1))]


@pytest.mark.parametrize("value", ["better", "worse", "neither", None])
def test_choice_takes_one_of_its_words_or_is_taken_back(value: str | None) -> None:
    assert choose(value) == []


@pytest.mark.parametrize("value", ["sweet", "", 2.0, True, ["better"]])
def test_word_that_a_choice_does_not_offer_is_told_the_words(value: object) -> None:
    assert choose(value) == ["it is one of better, worse, neither"]


def test_choice_is_given_for_the_whole_place_in_its_round() -> None:
    assert choose("worse", cup=1) == [WHOLE]
    assert choose("worse", round="cool") == ["it is asked in the round taste"]
