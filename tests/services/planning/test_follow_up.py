"""A table adds once to the answer of an earlier one, and asks the same."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from at_a_match import ALIKE, APPROVED, ARRIVED, match_draft, match_lab, planned_match, tasted_match
from at_the_table import planned

from crustbreak.core.errors import Unacceptable
from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.questions.match.definition import MatchAsked
from crustbreak.services.planning.follow_up import (
    added_to,
    check_adding,
    may_be_added_to,
    stage_number,
)
from crustbreak.services.planning.plan import plan_table
from crustbreak.services.tables.actions import abandon, look_at


@pytest.fixture
def lab(tmp_path: Path) -> Iterator[Lab]:
    with match_lab(tmp_path) as (opened, _):
        yield opened


def screening(lab: Lab) -> Table:
    table = planned_match(lab)
    tasted_match(lab, table, ALIKE)
    return table


def test_a_second_table_is_the_second_look_at_the_same_answer(lab: Lab) -> None:
    first = screening(lab)

    second = planned_match(lab, follows=first.id)

    assert second.follows == first.id
    assert [stage_number(lab, each) for each in ("", first.id, second.id)] == [0, 1, 2]
    assert added_to(lab, first) == second
    assert added_to(lab, second) is None
    # Kept with the plan, and not in the air.
    assert lab.repository.read(lambda records: records.table(second.id)) == second


def test_it_can_be_added_once_the_codes_have_names(lab: Lab) -> None:
    waiting = planned_match(lab)
    ready = screening(lab)

    assert not may_be_added_to(lab, *look_at(lab, waiting.id))
    assert may_be_added_to(lab, *look_at(lab, ready.id))


def test_two_tables_cannot_add_to_one_unless_the_first_was_given_up(lab: Lab) -> None:
    first = screening(lab)
    second = planned_match(lab, follows=first.id)

    with pytest.raises(Unacceptable) as refused:
        planned_match(lab, follows=first.id)
    abandon(lab, second, "The kettle broke.")
    third = planned_match(lab, follows=first.id)

    assert [each.found for each in refused.value.problems] == ["one was added already"]
    assert added_to(lab, first) == third


@pytest.mark.parametrize(
    ("changed", "found"),
    [
        ({"coffees": (APPROVED, "Sallow Bridge")}, f"{APPROVED}, Sallow Bridge"),
        ({"coffees": (ARRIVED, APPROVED)}, f"{ARRIVED}, {APPROVED}"),
        ({"cut_off": 2.0}, "2"),
        ({"asked": MatchAsked(certainty=0.99)}, "99 in 100 sure"),
        ({"follows": "nowhere"}, "none"),
    ],
    ids=str,
)
def test_another_question_is_no_further_look(
    lab: Lab, changed: dict[str, object], found: str
) -> None:
    first = screening(lab)
    question = lab.plugin("match").question

    (problem,) = check_adding(lab, question, match_draft(**{"follows": first.id, **changed}))

    assert problem.where == "Adds to an earlier table"
    assert problem.found == found
    assert problem.remedy


def test_a_question_that_adds_nothing_takes_no_earlier_table(lab: Lab) -> None:
    other = planned(lab)

    with pytest.raises(Unacceptable, match="The plan"):
        planned_match(lab, follows=other.id)
    assert not may_be_added_to(lab, *look_at(lab, other.id))


def test_nothing_is_asked_of_a_table_by_itself(lab: Lab) -> None:
    assert check_adding(lab, lab.plugin("match").question, match_draft()) == ()
    assert plan_table(lab, "match", match_draft()).follows == ""
