"""How long a claim can be made, and what it still has to show."""

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.domain.records.claims import Claim
from crustbreak.domain.trade.claims import (
    AT_BOTH_ENDS,
    EVIDENCE,
    OWN,
    SIDE_BY_SIDE,
    ClaimDay,
    ClaimDraft,
    Item,
    Window,
    check_claim,
    day_in,
    make_claim,
    missing_evidence,
    window_of,
)
from crustbreak.domain.trade.contracts import DISCHARGE, LATER, Contract

GCA = Contract(
    id="gca",
    version=1,
    title="A contract",
    as_of="2024",
    days=15,
    runs_from=LATER,
    says="fifteen days",
    warns="",
    source="S31",
)
CONTRACTS = {GCA.ref: GCA}
FIRST = date(2031, 3, 1)


def draft(**changed: Any) -> ClaimDraft:
    typed: dict[str, Any] = {
        "discharged": "2031-03-01",
        "cleared": "",
        "contract": GCA.ref,
        "own_days": "",
        "own_from": DISCHARGE,
        "clause": "",
        "said": {},
        "by": "Odile",
    }
    return ClaimDraft(**{**typed, **changed})


def test_the_last_of_fifteen_days_from_the_first_is_the_sixteenth() -> None:
    window = window_of(Claim(discharged=FIRST, contract=GCA.ref), CONTRACTS)

    # Counted on a calendar: the 2nd is the first of them.
    assert window == Window(begins=FIRST, last=date(2031, 3, 16))
    assert window.days == 15


def test_days_run_from_the_clearance_where_that_is_later_and_the_contract_says_so() -> None:
    claim = Claim(discharged=FIRST, cleared=date(2031, 3, 5), contract=GCA.ref)
    own = Claim(
        discharged=FIRST, cleared=date(2031, 3, 5), contract=OWN, own_days=28, own_from=DISCHARGE
    )

    assert window_of(claim, CONTRACTS) == Window(begins=date(2031, 3, 5), last=date(2031, 3, 20))
    # 28 days from 1 March are 29 March.
    assert window_of(own, CONTRACTS) == Window(begins=FIRST, last=date(2031, 3, 29))


@pytest.mark.parametrize(
    ("today", "day"),
    [
        (date(2031, 3, 1), ClaimDay(nth=0, left=15)),
        (date(2031, 3, 10), ClaimDay(nth=9, left=6)),
        (date(2031, 3, 16), ClaimDay(nth=15, left=0)),
        (date(2031, 3, 18), ClaimDay(nth=17, left=-2)),
    ],
)
def test_a_day_is_counted_from_the_discharge_and_to_the_last(today: date, day: ClaimDay) -> None:
    assert day_in(Window(begins=FIRST, last=date(2031, 3, 16)), today) == day


@given(st.dates(min_value=date(2000, 1, 1), max_value=date(2090, 1, 1)), st.integers(1, 365))
def test_days_gone_and_days_left_are_the_whole(begins: date, days: int) -> None:
    claim = Claim(discharged=begins, contract=OWN, own_days=days)
    window = window_of(claim, CONTRACTS)
    assert window is not None

    day = day_in(window, date(2031, 3, 1))

    assert day.nth + day.left == window.days == days


def test_without_a_day_or_a_contract_no_clock_runs() -> None:
    assert window_of(Claim(contract=GCA.ref), CONTRACTS) is None
    assert window_of(Claim(discharged=FIRST), CONTRACTS) is None
    assert window_of(Claim(discharged=FIRST, contract="gone/1"), CONTRACTS) is None


def test_what_is_missing_comes_by_how_pressing_it_is() -> None:
    claim = Claim(said={"samples": "Seals 4411 to 4413", "loss": "12 cents a pound"})

    missing = missing_evidence(claim, conditions=())

    assert all(isinstance(item, Item) for item in missing)
    assert missing[0].id == "unmoved"
    assert {item.id for item in EVIDENCE} - {item.id for item in missing} == {"samples", "loss"}


def test_what_the_table_itself_shows_is_not_missing() -> None:
    found = missing_evidence(Claim(), conditions=(SIDE_BY_SIDE, AT_BOTH_ENDS))

    assert {SIDE_BY_SIDE, AT_BOTH_ENDS} & {item.id for item in found} == set()


def test_a_claim_is_what_was_typed_without_what_was_left_empty() -> None:
    said = {"samples": "  Seals 4411\n to 4413 ", "photos": " ", "other": "lost"}

    claim = make_claim(draft(said=said, clause=" 7.2 "))

    assert claim == Claim(
        discharged=FIRST,
        contract=GCA.ref,
        clause="7.2",
        said={"samples": "Seals 4411 to 4413"},
        by="Odile",
    )


@pytest.mark.parametrize(
    ("changed", "where", "found"),
    [
        ({"discharged": "1.3.2031"}, "Discharged on", "1.3.2031"),
        ({"discharged": "9999-12-31"}, "Discharged on", "9999-12-31"),
        ({"discharged": "0203-03-01"}, "Discharged on", "0203-03-01"),
        ({"cleared": "soon"}, "Cleared on", "soon"),
        ({"cleared": "2031-02-27"}, "Cleared on", "2031-02-27"),
        ({"contract": "mine"}, "Contract", "mine"),
        ({"contract": OWN}, "Days of your contract", "nothing"),
        ({"contract": OWN, "own_days": "366"}, "Days of your contract", "366"),
        ({"contract": OWN, "own_days": "-5"}, "Days of your contract", "-5"),
        ({"own_from": "arrival"}, "It runs from", "arrival"),
        ({"said": {"photos": "x" * 501}}, "Photos", "501"),
        ({"clause": "x" * 501}, "Clause", "501"),
    ],
    ids=str,
)
def test_every_fault_is_named_where_it_is(changed: dict[str, Any], where: str, found: str) -> None:
    (problem,) = check_claim(draft(**changed), CONTRACTS)

    assert (problem.where, problem.found) == (where, found)
    assert problem.remedy.endswith(".")


def test_nearly_all_of_it_may_stay_empty() -> None:
    assert check_claim(draft(discharged="", contract="", by=""), CONTRACTS) == ()


@given(st.text(max_size=30), st.text(max_size=30))
def test_whatever_is_typed_gets_an_answer_or_a_claim(day: str, days: str) -> None:
    typed = draft(discharged=day, cleared=day, contract=OWN, own_days=days)

    if not check_claim(typed, CONTRACTS):
        assert make_claim(typed).own_days is not None


@given(st.dates(), st.integers(1, 365))
def test_whatever_day_is_kept_has_a_window(day: date, days: int) -> None:
    typed = draft(discharged=day.isoformat(), contract=OWN, own_days=str(days))

    if not check_claim(typed, CONTRACTS):
        assert window_of(make_claim(typed), CONTRACTS) is not None
