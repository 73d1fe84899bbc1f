"""Measures against their limits, and against what they were when the coffee was approved."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.domain.grading.physicals import (
    MEASURES,
    Finding,
    Measure,
    PhysicalsDraft,
    check_physicals,
    count,
    figure,
    find_limits,
    is_at_both_ends,
    make_physicals,
)
from crustbreak.domain.records.physicals import Measurement, OldScore, Physicals


def reading(measure: str = "moisture", **changed: str) -> Measurement:
    return Measurement(measure=measure, **changed)


def draft(*readings: Measurement, **changed: Any) -> PhysicalsDraft:
    typed: dict[str, Any] = {"score": "", "tasters": "", "tables": "", "usual": "", "by": ""}
    return PhysicalsDraft(
        readings={each.measure: each for each in readings}, **{**typed, **changed}
    )


@pytest.mark.parametrize(
    ("found", "least", "most", "verdict"),
    [
        ("12.5", "8", "12.5", "within"),
        ("12.6", "8", "12.5", "over"),
        ("7.9", "8", "12.5", "under"),
        ("8,0", "8", "", "within"),
        ("11", "", "", "no limit"),
        ("", "8", "12.5", "not measured"),
        # To tenths these are alike, and to hundredths they are not.
        ("0.701", "", "0.70", "over"),
    ],
)
def test_a_figure_on_its_limit_is_within_and_any_beyond_is_not(
    found: str, least: str, most: str, verdict: str
) -> None:
    assert find_limits(reading(found=found, least=least, most=most)).verdict == verdict


def test_a_change_is_what_a_reader_would_subtract() -> None:
    finding = find_limits(reading(at_approval="10.8", found="12.9"))

    assert finding == Finding(
        reading=reading(at_approval="10.8", found="12.9"),
        verdict="no limit",
        changed=Decimal("2.1"),
    )
    assert find_limits(reading(found="12.9")).changed is None


def test_figures_keep_their_decimals_as_typed() -> None:
    kept = make_physicals(draft(reading(found="10,0", at_approval=" 0.58 ")))

    assert kept.readings == (reading(found="10.0", at_approval="0.58"),)


def test_what_was_not_measured_is_not_kept() -> None:
    assert make_physicals(draft(reading(), by=" Odile ")) == Physicals(by="Odile")


def test_an_old_score_is_kept_with_who_made_it() -> None:
    kept = make_physicals(draft(score="87,5", tasters="3", tables="", usual="84"))

    assert kept.old_score == OldScore(score=87.5, tasters=3, tables=1, usual=84.0)
    assert make_physicals(draft(tasters="3")).old_score is None


@pytest.mark.parametrize(
    ("typed", "where", "found"),
    [
        (draft(reading(found="wet")), "Moisture, now", "wet"),
        (draft(reading(found="61")), "Moisture, now", "61"),
        (draft(reading("water_activity", at_approval="58")), "Water activity, at approval", "58"),
        (draft(reading(least="12", most="8")), "Moisture, limits", "12 to 8"),
        (draft(score="875"), "Old score", "875"),
        (draft(tasters="0"), "Tasters of the old score", "0"),
        (draft(tables="half"), "Tables of the old score", "half"),
        (draft(usual="-1"), "Usual score of such offers", "-1"),
        (draft(by="x" * 81), "Measured by", "81"),
    ],
    ids=str,
)
def test_every_figure_that_cannot_be_is_named(
    typed: PhysicalsDraft, where: str, found: str
) -> None:
    (problem,) = check_physicals(typed)

    assert (problem.where, problem.found) == (where, found)


def test_both_ends_are_shown_once_each_was_measured_twice() -> None:
    both = {"at_approval": "1", "found": "1"}
    whole = Physicals(readings=(reading(**both), reading("water_activity", **both)))
    half = Physicals(readings=(reading(**both), reading("water_activity", found="0.6")))

    assert is_at_both_ends(whole)
    assert not is_at_both_ends(half)


def test_examples_are_dated_and_name_their_text() -> None:
    examples = [each.example for each in MEASURES if each.example]

    assert all(isinstance(each, Measure) for each in MEASURES)
    assert all(any(sign.isdigit() for sign in each) for each in examples)
    # Moisture of 8 to 12.5 by mass: [S32]. Water activity below 0.70: [S33].
    assert "8 to 12.5" in examples[0]
    assert "0.70" in examples[1]


@given(st.text(max_size=12))
def test_whatever_is_typed_is_a_figure_or_none(text: str) -> None:
    known = figure(text)

    assert known is None or (known.is_finite() and known == Decimal(str(known)))
    assert count(text, 50) is None or 1 <= (count(text, 50) or 0) <= 50
