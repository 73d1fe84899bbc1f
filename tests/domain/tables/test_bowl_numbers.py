"""From the numbers under the bowls to the names; worked by hand on a table of three rows."""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.domain.records.numbered_bowls import BowlReading, NumberedBowls
from crustbreak.domain.records.tables import Place
from crustbreak.domain.tables.bowl_numbers import BowlIdentities, check_readings, identify_bowls

PLACES = tuple(Place(id=f"p{letter}", code=letter, cups=5) for letter in "ABC")
TRAYS = tuple(
    NumberedBowls(coffee_id=coffee, bowls=tuple(range(first, first + 5)))
    for coffee, first in (("marrow", 1), ("sallow", 6), ("fen", 11))
)
SINGLE_PLACES = tuple(Place(id=f"p{letter}", code=letter, cups=1) for letter in "ABCDEF")
# Three bowls of each of two coffees, every one with a place of its own.
SINGLE_TRAYS = tuple(
    NumberedBowls(coffee_id="old" if number <= 3 else "new", bowls=(number,))
    for number in range(1, 7)
)


def read(place: str, number: int | None, check: int | None = None, **more: bool) -> BowlReading:
    return BowlReading(place_id=f"p{place}", number=number, check=check, **more)


def washed(*readings: BowlReading) -> BowlIdentities:
    return identify_bowls(PLACES, TRAYS, readings)


def test_a_row_has_the_coffee_of_the_bowl_that_was_turned_over() -> None:
    found = washed(read("A", 13, 15), read("B", 2, 1), read("C", 8, 6))

    assert found == BowlIdentities(
        coffee_of={"pA": "fen", "pB": "marrow", "pC": "sallow"}, doubts={}
    )


@given(st.permutations(range(6)))
def test_any_order_of_the_bowls_can_come_out(order: list[int]) -> None:
    readings = [
        BowlReading(place_id=place.id, number=SINGLE_TRAYS[bowl_group].bowls[0])
        for place, bowl_group in zip(SINGLE_PLACES, order, strict=True)
    ]

    found = identify_bowls(SINGLE_PLACES, SINGLE_TRAYS, readings)

    assert check_readings(SINGLE_PLACES, SINGLE_TRAYS, readings) == ()
    assert list(found.coffee_of.values()) == [
        SINGLE_TRAYS[bowl_group].coffee_id for bowl_group in order
    ]


def test_all_orders_of_rows_are_open_before_the_reading() -> None:
    keys = set()
    for order in permutations(TRAYS):
        readings = [
            BowlReading(place_id=place.id, number=bowl_group.bowls[0], check=bowl_group.bowls[1])
            for place, bowl_group in zip(PLACES, order, strict=True)
        ]
        keys.add(tuple(washed(*readings).coffee_of.items()))

    # Three rows stand in 3! orders.
    assert len(keys) == 6


def test_one_place_that_was_not_read_follows_and_is_flagged() -> None:
    found = washed(read("A", 1, 2), read("B", None), read("C", 11, 12))

    assert found.coffee_of["pB"] == "sallow"
    assert found.doubts == {"pB": ("by elimination",)}


def test_two_that_were_not_read_stay_without_a_name() -> None:
    found = washed(read("A", None), read("B", 7, 8))

    assert found.coffee_of == {"pB": "sallow"}
    assert found.unnamed == ("pA", "pC")
    assert found.doubts == {"pA": ("not read",), "pC": ("not read",)}


def test_several_follow_where_one_coffee_alone_is_left() -> None:
    readings = [
        BowlReading(place_id=f"p{place}", number=nth)
        for nth, place in ((1, "A"), (4, "F"), (5, "C"), (6, "D"))
    ]

    found = identify_bowls(SINGLE_PLACES, SINGLE_TRAYS, readings)

    assert {found.coffee_of["pB"], found.coffee_of["pE"]} == {"old"}
    assert found.doubts == {"pB": ("by elimination",), "pE": ("by elimination",)}


def test_nothing_follows_from_a_mixed_row() -> None:
    found = washed(read("A", None, is_mixed=True), read("B", 1, 2), read("C", None))

    assert found.unnamed == ("pA", "pC")
    assert found.doubts["pA"] == ("mixed",)


def test_one_bowl_without_its_check_names_the_row_and_is_flagged() -> None:
    found = washed(read("A", 1, 2), read("B", 7), read("C", None, 12))

    assert found.coffee_of == {"pA": "marrow", "pB": "sallow", "pC": "fen"}
    assert found.doubts == {"pB": ("not checked",), "pC": ("not checked",)}


def test_a_single_bowl_needs_no_check() -> None:
    readings = [
        BowlReading(place_id=place.id, number=nth)
        for nth, place in enumerate(SINGLE_PLACES, start=1)
    ]

    assert identify_bowls(SINGLE_PLACES, SINGLE_TRAYS, readings).doubts == {}


def test_a_tray_that_crossed_its_class_is_named_and_flagged() -> None:
    numbered_bowls = (
        *TRAYS[:2],
        NumberedBowls(coffee_id="fen", bowls=TRAYS[2].bowls, order_class=2),
    )
    readings = (read("A", 1, 2), read("B", 11, 12), read("C", 6, 7))

    found = identify_bowls(PLACES, numbered_bowls, readings)

    assert found.coffee_of["pB"] == "fen"
    assert found.doubts == {"pB": ("another class",), "pC": ("another class",)}


@pytest.mark.parametrize(
    ("readings", "where", "rule", "found"),
    [
        ([], "Numbers", "at least one was read", "none"),
        ([read("A", None)], "Numbers", "at least one was read", "none"),
        ([read("A", 61, 2)], "Place A", "a number of this table's bowls, 1 to 15", "61"),
        ([read("A", 2, 2)], "Place A", "the check is another bowl of the row", "2 twice"),
        (
            [read("A", 2, 6)],
            "Place A",
            "all bowls of a row are of one coffee",
            "2 and 6, which were filled with two",
        ),
        (
            [read("A", 1, 2), read("C", 3, 4)],
            "Place C",
            "each number stands at one place",
            "3, of the bowls that were read at place A",
        ),
    ],
)
def test_says_which_number_cannot_be(
    readings: list[BowlReading], where: str, rule: str, found: str
) -> None:
    (problem,) = check_readings(PLACES, TRAYS, readings)

    assert (problem.where, problem.rule, problem.found) == (where, rule, found)


def test_a_row_that_is_said_to_be_mixed_may_hold_what_it_holds() -> None:
    assert check_readings(PLACES, TRAYS, [read("A", 2, 6, is_mixed=True)]) == ()


def test_names_every_fault_at_once() -> None:
    faults = check_readings(PLACES, TRAYS, [read("A", 99, 98), read("B", 3, 3), read("C", 1, 14)])

    assert [fault.where for fault in faults] == ["Place A", "Place A", "Place B", "Place C"]
