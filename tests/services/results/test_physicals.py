"""What is measured beside a table is added, comes back, and offers itself to the next one."""

from typing import Any

import pytest
from at_a_match import ALIKE, APPROVED, planned_match, tasted_match
from at_the_table import planned, uncovered

from crustbreak.core.errors import NotThere, Unacceptable
from crustbreak.domain.capabilities import OtherChecks
from crustbreak.domain.grading.physicals import PhysicalsDraft
from crustbreak.domain.records.physicals import Measurement, OldScore
from crustbreak.domain.records.tables import Table
from crustbreak.exchange.canonical_json import plain
from crustbreak.ports.documents import PHYSICALS
from crustbreak.ports.lab import Lab
from crustbreak.services.results.physicals import (
    ENOUGH_LOOKS,
    keep_physicals,
    other_checks_of,
    physicals_before,
    physicals_said,
    usual_score,
)


def measured(**changed: Any) -> PhysicalsDraft:
    moisture = Measurement(measure="moisture", at_approval="10.8", found="12.9", most="12.5")
    typed: dict[str, Any] = {"score": "87.5", "tasters": "3", "tables": "1", "usual": "84"}
    return PhysicalsDraft(readings={"moisture": moisture}, **{**typed, "by": "Odile", **changed})


def said(lab: Lab, table: Table) -> dict[str, Any]:
    return lab.repository.read(lambda records: physicals_said(lab, records, table))


def test_the_last_word_counts_and_all_stay_in_the_books(lab: Lab) -> None:
    table = planned_match(lab)
    keep_physicals(lab, table, measured(by="Piet"))

    kept = keep_physicals(lab, table, measured())

    assert lab.repository.read(lambda records: records.document(PHYSICALS, table.id)) == kept
    assert kept.by == "Odile"
    assert kept.old_score == OldScore(score=87.5, tasters=3, tables=1, usual=84.0)


def test_what_is_said_is_plain_and_has_the_expected_drop(lab: Lab) -> None:
    table = planned_match(lab)
    assert said(lab, table) == {}
    keep_physicals(lab, table, measured())

    told = said(lab, table)

    assert plain(told) == told
    (reading,) = told["readings"]
    assert (reading["verdict"], reading["changed"]) == ("over", "2.1")
    assert told["old_score"]["drop"] == pytest.approx(87.5 - told["old_score"]["expected"])


def test_the_same_coffee_arriving_again_is_offered_what_it_had(lab: Lab) -> None:
    first, again = planned_match(lab), planned_match(lab)
    other = planned_match(lab, coffees=("Fen Cross", "Fen Cross, arrival"))
    keep_physicals(lab, first, measured())

    before = physicals_before(lab, again)

    assert before is not None
    assert before.readings[0].most == "12.5"
    assert physicals_before(lab, other) is None


def test_figures_that_cannot_be_are_refused_and_nothing_is_kept(lab: Lab) -> None:
    table = planned_match(lab)

    with pytest.raises(Unacceptable):
        keep_physicals(lab, table, measured(score="875"))
    assert lab.repository.read(lambda records: records.document(PHYSICALS, table.id)) is None


def test_a_table_that_is_no_arrival_has_no_such_papers(lab: Lab) -> None:
    with pytest.raises(NotThere):
        keep_physicals(lab, planned(lab), measured())
    checks = other_checks_of(lab, planned_match(lab))
    assert checks == OtherChecks(score_sheet="ten_line/1")


def test_a_house_s_usual_score_takes_enough_looks(lab: Lab) -> None:
    arrival = planned_match(lab)
    assert usual_score(lab, arrival) is None
    for _ in range(ENOUGH_LOOKS // 3 + 1):
        uncovered(lab)

    # Seven lines of eight points, three of ten: by hand 86.
    assert usual_score(lab, arrival) == 86.0


def test_a_comparison_says_nothing_of_what_offers_score(lab: Lab) -> None:
    arrival = planned_match(lab)
    tasted_match(lab, arrival, ALIKE)

    assert usual_score(lab, arrival) is None
    assert APPROVED in ALIKE


def test_a_name_with_signs_that_nobody_sees_is_asked_for_again(lab: Lab) -> None:
    with pytest.raises(Unacceptable) as refused:
        keep_physicals(lab, planned_match(lab), measured(by="Odile\x08"))

    assert [problem.where for problem in refused.value.problems] == ["Measured by"]
