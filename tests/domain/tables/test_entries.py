"""An entry counts, or is told why it does not."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.core.errors import Problem
from crustbreak.domain.records.tables import Flight, Place
from crustbreak.domain.tables.entries import ENTRY_KINDS, Entry, check_entry
from tables import entry, mark, place, table, ten_line

VERDICTS = ("buy", "look again", "decline")


def check(said: Entry) -> tuple[Problem, ...]:
    return check_entry(said, table(), ten_line(), VERDICTS)


@pytest.mark.parametrize(
    "said",
    [
        entry(1),
        entry(1, line="uniformity", cup=3, round="cool", value="differs"),
        entry(1, line="note", round="warm", value="plum"),
        entry(1, value=None),
        entry(1, "hand_in"),
        entry(1, "call", place_id="p2", value="look again"),
        entry(1, "call", place_id="p2", value=None),
        entry(1, "call", place_id=None, value="buy"),
        entry(1, "knew", place_id="p1", value="yes"),
        entry(1, "knew", place_id="p1", value=None),
        entry(1, "new_call", place_id="p2", value="buy", reason="At this price."),
    ],
    ids=lambda said: f"{said.kind} {said.line} {said.value}",
)
def test_what_fits_table_and_sheet_counts(said: Entry) -> None:
    assert check(said) == ()


@pytest.mark.parametrize(
    ("said", "where", "found", "remedy"),
    [
        (entry(1, "hand-in"), "entry", "hand-in", "Did you mean hand_in?"),
        (entry(1, ""), "entry", "nothing", "Known here: mark, knew, hand_in, call, new_call."),
        (
            entry(1, sheet="ten_line/2"),
            "entry",
            "ten_line/2",
            "Reload the page, then give it once more.",
        ),
        (entry(1, place_id="p9"), "entry", "p9", "Check which table this phone joined."),
        (entry(1, place_id=None), "entry", "nothing", "Check which table this phone joined."),
        (entry(1, value=11.0), "Flavor of 527", "11.0", "Choose a point of the scale."),
        (
            entry(1, "call", place_id="p9", value="buy"),
            "entry",
            "p9",
            "Check which table this phone joined.",
        ),
        (entry(1, "new_call", place_id="p1", value="buy"), "Why", "nothing", "Type it."),
        (
            entry(1, "new_call", place_id="p1", value="buy", reason="x" * 2001),
            "Why",
            "2,001 in xxxxxxxxxxxxxxxxxxxx...",
            "Shorten it.",
        ),
        (
            entry(1, "new_call", place_id="p1", value=None, reason="So."),
            "new call",
            "none",
            "Choose one, and say why.",
        ),
        (entry(1, "call", place_id="p1", value="bye"), "call", "bye", "Did you mean buy?"),
        (entry(1, "knew", place_id="p1", value="no"), "known coffee", "no", "Say it once more."),
        (
            entry(1, "call", place_id="p1", value=8.0),
            "call",
            "8.0",
            "Known here: buy, look again, decline.",
        ),
    ],
)
def test_every_broken_rule_is_named_where_it_is(
    said: Entry, where: str, found: str, remedy: str
) -> None:
    (problem,) = check(said)

    assert (problem.where, problem.found, problem.remedy) == (where, found, remedy)
    assert problem.rule


def test_call_off_the_table_and_off_the_words_is_told_both() -> None:
    problems = check(entry(1, "call", place_id="p9", value="bye"))

    assert [problem.where for problem in problems] == ["entry", "call"]


@pytest.mark.parametrize(
    "huge",
    ["x" * 1_000_000, 10**400, float("nan"), -float("inf"), True],
    ids=lambda value: type(value).__name__,
)
def test_huge_and_odd_values_get_a_short_answer(huge: Any) -> None:
    said = [entry(1, value=huge), entry(1, "call", place_id="p1", value=huge)]

    problems = [problem for each in said for problem in check(each)]

    assert len(problems) == 2
    assert all(len(problem.found) <= 43 for problem in problems)


@given(
    kind=st.sampled_from(ENTRY_KINDS) | st.text(),
    changed=st.fixed_dictionaries(
        {},
        optional={
            "sheet": st.text(),
            "place_id": st.none() | st.text(),
            "cup": st.none() | st.integers(),
            "line": st.none() | st.text(),
            "round": st.none() | st.text(),
            "value": st.none() | st.integers() | st.floats() | st.text(),
        },
    ),
)
def test_any_entry_gets_an_answer(kind: str, changed: dict[str, Any]) -> None:
    problems = check(entry(1, kind, **changed))

    assert all(problem.where and problem.rule and problem.remedy for problem in problems)


def test_entry_stands_by_its_device_and_number() -> None:
    said = [entry(1, grip=2), entry(9, grip=1), entry(2, grip=1)]

    assert sorted(each.order for each in said) == [(1, 2), (1, 9), (2, 1)]


def test_entry_gives_its_judgement() -> None:
    assert entry(1).as_mark() == mark("flavor", 7.5)


def test_nothing_is_said_of_a_bowl_that_stands_open() -> None:
    conditions = Place(id="p3", code="open", cups=1, is_open=True)
    flight = Flight(id="f1", places=(place("p1"), place("p2", "814"), conditions))
    set_out = table(flights=(flight,))

    for said in (entry(1, place_id="p3"), entry(1, "knew", place_id="p3", value="yes")):
        (problem,) = check_entry(said, set_out, ten_line(), VERDICTS)

        assert problem.rule == "its place stands on this table, and not open"
