"""The draft of a claim pack: facts, what is missing, and that a person signs."""

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

from crustbreak.domain.records.claims import Claim
from crustbreak.domain.trade.claims import EVIDENCE, OWN, ClaimDay, Window
from crustbreak.domain.trade.contracts import DISCHARGE, LATER, Contract
from crustbreak.questions.match.document import approval_note
from crustbreak.reports.render.html import as_html
from crustbreak.reports.render.pdf import as_pdf
from crustbreak.reports.render.terminal import as_text
from crustbreak.reports.sections.claim_pack import (
    PREVAILS,
    Pack,
    claim_pack,
    clock_text,
    counted_text,
    format_date,
)
from match_papers import COMPARED, CONTROL, match_record

CONTRACT = Contract(
    id="gca",
    version=1,
    title="A standard contract",
    as_of="2024",
    days=15,
    runs_from=DISCHARGE,
    says="claims within fifteen days",
    warns="Moved coffee loses the claim.",
    source="S31",
)


def pack(**changed: Any) -> Pack:
    facts: dict[str, Any] = {
        "lab": "Test lab",
        "occasion": "Oskelan, container 2",
        "coffees": (CONTROL, COMPARED),
        "claim": Claim(
            discharged=date(2031, 2, 23),
            contract="gca/1",
            clause="7.2",
            said={"samples": "Seals 4411 to 4413"},
        ),
        "contract": CONTRACT,
        "window": Window(begins=date(2031, 2, 23), last=date(2031, 3, 10)),
        "day": ClaimDay(nth=9, left=6),
        "today": date(2031, 3, 4),
        "at": datetime(2031, 3, 4, 9, 30, tzinfo=UTC),
        "missing": EVIDENCE[:1],
        "side_by_side": None,
        "physicals": {},
    }
    return Pack(**{**facts, **changed})


def text(**changed: Any) -> str:
    return as_text(claim_pack(pack(**changed)), columns=400)


def test_begins_with_the_day_and_what_is_left() -> None:
    assert claim_pack(pack()).finding == "Day 9 of 15: 6 days left, the last one is 10 March 2031."
    assert format_date(date(2031, 3, 10)) == "10 March 2031"


def test_a_day_that_lies_ahead_is_asked_about() -> None:
    ahead = pack(day=ClaimDay(nth=-3, left=18))

    # The window of these papers begins on 23 February and ends on 10 March.
    assert clock_text(ahead) == (
        "The claim clock begins on 23 February 2031, 3 days from now; its last day is "
        "10 March 2031. Look once more whether that is the day."
    )


def test_says_from_which_day_it_counts_and_that_a_clearance_is_not_known() -> None:
    later = replace(CONTRACT, runs_from=LATER)
    own = Claim(discharged=date(2031, 2, 23), contract=OWN, own_days=15, own_from=LATER)
    cleared = Claim(discharged=date(2031, 2, 20), cleared=date(2031, 2, 23), contract="gca/1")

    assert counted_text(pack()) == "Counted from 23 February 2031, which is day 0."
    assert "no clearance is written down" in counted_text(pack(contract=later))
    assert "no clearance is written down" in counted_text(pack(contract=None, claim=own))
    assert "no clearance" not in counted_text(pack(contract=later, claim=cleared))
    assert counted_text(pack(window=None, day=None)) == ""
    assert "which is day 0" in text()


def test_says_what_keeps_the_clock_from_running() -> None:
    assert "the day of discharge is not known" in clock_text(
        pack(claim=Claim(), window=None, day=None)
    )
    assert "the contract is not known" in clock_text(pack(window=None, day=None))


def test_a_contract_is_a_dated_example_and_yours_prevails() -> None:
    said = text()

    assert "A standard contract, 2024: claims within fifteen days." in said
    assert "Moved coffee loses the claim." in said
    assert PREVAILS in said
    assert "Clause: 7.2" in said


def test_a_contract_of_one_s_own_is_said_as_typed() -> None:
    own = Claim(contract=OWN, own_days=40, own_from=DISCHARGE)

    assert "Own contract: 40 days from discharge." in text(contract=None, claim=own)
    assert "No contract is chosen yet." in text(contract=None, claim=Claim())


def test_what_is_there_and_what_is_missing_stand_apart() -> None:
    said = text()

    assert "Samples, drawn and sealed: Seals 4411 to 4413" in said
    assert "Goods unmoved. Where they stand" in said
    assert "None is written down yet." in text(claim=Claim())
    assert "Written down by" not in said
    assert "Written down by Odile." in text(claim=Claim(said={"photos": "On file"}, by="Odile"))
    assert "Bad cups: 2 of 15" in text(claim=Claim(said={"bad_cups": "2 of 15"}))
    assert "Nothing on the list." in text(missing=())


def test_the_side_by_side_is_the_note_s_finding_or_not_there_yet() -> None:
    assert "Not decided yet" in text()

    said = text(side_by_side=approval_note(match_record()))

    assert f"{COMPARED} is different from {CONTROL}, and worse." in said
    assert "Record ab12 ab12" in said


def test_measures_of_both_ends_stand_in_it() -> None:
    reading = {
        "measure": "moisture",
        "at_approval": "10.8",
        "found": "12.9",
        "least": "",
        "most": "12.5",
        "verdict": "over",
        "changed": "2.1",
    }

    assert "Moisture 12.9 % by mass is over 12.5." in text(physicals={"readings": [reading]})
    assert "Nothing was measured" in text()


def test_it_is_a_draft_that_a_person_signs_without_blame() -> None:
    paper = claim_pack(pack())

    assert paper.kind == "Claim pack, draft"
    assert paper.signs == ("checked and signed by", "for the buyer")
    assert "legal wording is counsel's" in text()
    assert as_pdf(paper).startswith(b"%PDF")
    assert "Draft of 4 March 2031" in as_html(paper)
