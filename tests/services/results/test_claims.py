"""A claim is written down, its clock runs, and its pack says what the table found."""

from typing import Any

import pytest
from at_a_match import APPROVED, ARRIVED, planned_match, tasted_match
from at_the_table import StandingClock, planned

from crustbreak.core.errors import NotThere, Unacceptable
from crustbreak.domain.grading.physicals import PhysicalsDraft
from crustbreak.domain.records.physicals import Measurement
from crustbreak.domain.trade.claims import AT_BOTH_ENDS, SIDE_BY_SIDE, ClaimDraft
from crustbreak.ports.documents import CLAIMS
from crustbreak.ports.lab import Lab
from crustbreak.reports.render.terminal import as_text
from crustbreak.reports.sections.claim_pack import clock_text
from crustbreak.services.results.claims import claim_pack_of, keep_claim, pack_of
from crustbreak.services.results.decide import decide, memo_of
from crustbreak.services.results.physicals import keep_physicals

FLAT = {APPROVED: (0, 0.5, 0), ARRIVED: ((3, "worse"), (2.5, "worse"), (3, "worse"))}
ASKS = "Is this the coffee we approved?"


def claimed(**changed: Any) -> ClaimDraft:
    typed: dict[str, Any] = {
        # Nine days before the morning at which the tests' clock stands, 4 March 2031.
        "discharged": "2031-02-23",
        "cleared": "",
        "contract": "gca/1",
        "own_days": "",
        "own_from": "discharge",
        "clause": "",
        "said": {"samples": "Seals 4411 to 4413"},
        "by": "Odile",
    }
    return ClaimDraft(**{**typed, **changed})


def missing(lab: Lab, table: Any) -> set[str]:
    return {item.id for item in pack_of(lab, table).missing}


def test_a_claim_comes_back_with_its_days(lab: Lab) -> None:
    table = planned_match(lab)

    kept = keep_claim(lab, table, claimed(cleared="2031-02-25", said={}))

    assert lab.repository.read(lambda records: records.document(CLAIMS, table.id)) == kept
    assert kept.cleared is not None
    keep_claim(lab, table, claimed())
    assert lab.repository.read(lambda records: records.document(CLAIMS, table.id)) != kept


def test_the_clock_says_day_nine_of_fifteen_and_runs_on(lab: Lab, clock: StandingClock) -> None:
    table = planned_match(lab)
    keep_claim(lab, table, claimed())

    assert clock_text(pack_of(lab, table)) == (
        "Day 9 of 15: 6 days left, the last one is 10 March 2031."
    )
    clock.pass_seconds(6 * 24 * 3600)
    assert clock_text(pack_of(lab, table)).endswith("today is the last day.")
    clock.pass_seconds(24 * 3600)
    assert clock_text(pack_of(lab, table)).endswith("1 day ago.")


def test_what_the_table_shows_is_missing_until_it_does(lab: Lab) -> None:
    table = planned_match(lab)
    keep_claim(lab, table, claimed())
    assert {SIDE_BY_SIDE, AT_BOTH_ENDS} <= missing(lab, table)

    tasted_match(lab, table, FLAT)
    decide(lab, table, {ASKS: "different, worse"}, reason="Flat.", decided_by="Odile")
    both = {
        name: Measurement(measure=name, at_approval="0.5", found="0.6")
        for name in ("moisture", "water_activity")
    }
    old = dict.fromkeys(("score", "tasters", "tables", "usual", "by"), "")
    keep_physicals(lab, table, PhysicalsDraft(readings=both, **old))

    assert not {SIDE_BY_SIDE, AT_BOTH_ENDS, "samples"} & missing(lab, table)
    assert "notice" in missing(lab, table)


def test_the_pack_has_the_finding_of_the_kept_verdict(lab: Lab) -> None:
    table = planned_match(lab)
    tasted_match(lab, table, FLAT)
    keep_claim(lab, table, claimed())
    assert "Not decided yet" in as_text(claim_pack_of(lab, table))

    decide(lab, table, {ASKS: "different, worse"}, reason="Flat.", decided_by="Odile")
    pack = as_text(claim_pack_of(lab, table), columns=400)

    assert f"{ARRIVED} is different from {APPROVED}, and worse." in pack
    assert "Samples, drawn and sealed: Seals 4411 to 4413" in pack
    assert "Your contract prevails" in pack


def test_the_verdict_keeps_what_was_measured_then(lab: Lab) -> None:
    table = planned_match(lab)
    tasted_match(lab, table, FLAT)
    wet = {"moisture": Measurement(measure="moisture", found="12.9", most="12.5")}
    old = dict.fromkeys(("score", "tasters", "tables", "usual", "by"), "")
    keep_physicals(lab, table, PhysicalsDraft(readings=wet, **old))

    verdict = decide(lab, table, {ASKS: "different, worse"}, reason="Flat.", decided_by="Odile")
    keep_physicals(lab, table, PhysicalsDraft(readings={}, **old))

    assert '"found":"12.9"' in verdict.record


def test_a_claim_with_faults_is_refused_and_one_elsewhere_is_not_there(lab: Lab) -> None:
    table = planned_match(lab)

    with pytest.raises(Unacceptable):
        keep_claim(lab, table, claimed(discharged="soon"))
    with pytest.raises(NotThere):
        pack_of(lab, planned(lab))


def test_what_follows_is_kept_with_the_verdict_and_stands_on_the_note(lab: Lab) -> None:
    table = planned_match(lab)
    tasted_match(lab, table, FLAT)

    decide(
        lab,
        table,
        {ASKS: "different, worse"},
        reason="Flat.",
        decided_by="Odile",
        next_step="Ask for an allowance; Odile, by 6 March.",
    )

    note = as_text(memo_of(lab, table), columns=400)
    assert "What follows: Ask for an allowance; Odile, by 6 March." in note


def test_what_follows_is_a_line_that_can_be_printed(lab: Lab) -> None:
    table = planned_match(lab)
    tasted_match(lab, table, FLAT)

    with pytest.raises(Unacceptable) as refused:
        decide(
            lab,
            table,
            {ASKS: "different, worse"},
            reason="Flat.",
            decided_by="Odile",
            next_step="x" * 2001,
        )
    assert [problem.where for problem in refused.value.problems] == ["What follows"]


@pytest.mark.parametrize(
    ("changed", "where"),
    [
        ({"said": {"photos": "On the\x08 share"}}, "Photos"),
        ({"clause": "7\x00.2"}, "Clause"),
        ({"by": "Odile\u202e"}, "Written down by"),
    ],
    ids=["photos", "clause", "by"],
)
def test_signs_that_no_paper_can_show_are_asked_for_again(
    lab: Lab, changed: dict[str, Any], where: str
) -> None:
    table = planned_match(lab)

    with pytest.raises(Unacceptable) as refused:
        keep_claim(lab, table, claimed(**changed))

    assert [problem.where for problem in refused.value.problems] == [where]
    # Lines and tabs of a text are no such signs.
    kept = keep_claim(lab, table, claimed(said={"photos": "One\n\ttwo"}))
    assert kept.said["photos"] == "One two"


def test_a_text_that_is_too_long_is_named_once(lab: Lab) -> None:
    with pytest.raises(Unacceptable) as refused:
        keep_claim(lab, planned_match(lab), claimed(clause="x" * 501))

    assert [problem.where for problem in refused.value.problems] == ["Clause"]
