"""One taster's side, whatever devices it was said on."""

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from crustbreak.domain.tables.entries import Entry
from crustbreak.domain.tables.seats import NewCall, Number, SeatFacts, SeatView, seat_state
from crustbreak.domain.tables.transitions import SeatState
from tables import entry

SUBJECTS = ("p1",)


def facts(grip: int, *numbers: Number, **more: Any) -> SeatFacts:
    return SeatFacts(grip=grip, arrived=frozenset(numbers), **more)


def view(said: list[Entry], known: SeatFacts) -> SeatView:
    return seat_state(said, known, SUBJECTS)


def up_to(last: int, grip: int = 1) -> list[Number]:
    return [(grip, no) for no in range(1, last + 1)]


def test_seat_is_complete_when_handed_in_with_no_number_missing() -> None:
    said = [entry(1), entry(3, "hand_in")]

    waits = view(said, facts(1, (1, 1), (1, 3)))
    there = view(said, facts(1, *up_to(3)))

    assert (waits.state, waits.missing, waits.is_complete) == (SeatState.HANDED_IN, 1, False)
    assert (there.missing, there.is_complete) == (0, True)


def test_number_that_was_set_aside_is_not_waited_for() -> None:
    # Number 2 arrived and counts for nothing: it is among the arrived and not among the said.
    assert view([entry(1), entry(3, "hand_in")], facts(1, *up_to(3))).is_complete


def test_numbers_after_the_hand_in_are_not_waited_for() -> None:
    said = [entry(1, "hand_in"), entry(4, "call", place_id="p1", value="buy")]

    assert view(said, facts(1, (1, 1), (1, 4))).missing == 0


def test_gap_is_seen_before_the_hand_in_too() -> None:
    assert view([entry(5)], facts(1, (1, 5))).missing == 4


def test_older_device_is_not_waited_for() -> None:
    said = [entry(7), entry(1, grip=2), entry(2, "hand_in", grip=2)]

    seat = view(said, facts(2, (1, 7), *up_to(2, grip=2)))

    assert (seat.grip, seat.is_complete) == (2, True)


def test_hand_in_of_an_older_device_is_good_for_the_newer_one() -> None:
    seat = view([entry(3, "hand_in")], facts(2, (1, 3)))

    assert seat.is_complete


def test_refused_device_says_nothing_and_holds_nothing() -> None:
    said = [entry(1, value=9.0), entry(2, "hand_in"), entry(1, grip=2, value=7.0)]

    seat = view(said, facts(2, *up_to(2), (2, 1), refused=frozenset({1})))
    nobody = view(said, facts(1, *up_to(2), refused=frozenset({1, 2})))

    assert [mark.value for mark in seat.marks] == [7.0]
    assert (seat.state, seat.refused, seat.grip) == (SeatState.TASTING, 2, 2)
    assert (nobody.marks, nobody.grip) == ((), 0)


def test_reason_for_leaving_a_seat_out_is_kept_with_its_marks() -> None:
    seat = view([entry(1)], facts(1, (1, 1), left_out="Went home."))

    assert seat.left_out == "Went home."
    assert len(seat.marks) == 1


@given(st.sets(st.tuples(st.integers(1, 2), st.integers(1, 8)), max_size=12), st.integers(0, 2))
def test_missing_is_what_a_count_by_hand_finds(arrived: set[Number], grip: int) -> None:
    numbers = {no for each, no in arrived if each == grip}

    seat = view([], facts(grip, *arrived))

    assert seat.missing == len(set(range(1, max(numbers, default=0))) - numbers)


def test_what_is_called_anew_stands_beside_the_call() -> None:
    said = [
        entry(3, "new_call", place_id="p1", value="decline", reason=" The price. "),
        entry(1, "hand_in"),
        entry(2, "call", place_id="p1", value="buy"),
    ]

    seat = view(said, facts(1, *up_to(3)))

    assert seat.calls == {"p1": "buy"}
    assert seat.new_calls == (NewCall(subject="p1", word="decline", reason="The price."),)
    assert seat.late == ()


def test_a_coffee_that_was_known_is_said_before_and_after_the_hand_in() -> None:
    said = [
        entry(1, "knew", place_id="p1", value="yes"),
        entry(2, "hand_in"),
        entry(3, "knew", place_id="p2", value="yes"),
        entry(4, "knew", place_id="p1", value=None),
    ]

    assert seat_state(said, SeatFacts(), ()).knew == {"p2"}
