"""Which coffees are tasted together at a screening."""

from itertools import chain

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.core.randomness import SeededRandom
from crustbreak.domain.planning.layout.flights import FLIGHT_MOST, draw_flights, flight_sizes


@given(
    st.lists(st.integers(1, 3), min_size=15, max_size=48).map(sorted), st.booleans(), st.binary()
)
def test_every_coffee_stands_in_one_flight_of_a_size_that_a_table_takes(
    classes: list[int], by_class: bool, seed: bytes
) -> None:
    flights = draw_flights(classes, least=3, by_class=by_class, chance=SeededRandom(seed))

    assert sorted(chain.from_iterable(flights)) == list(range(len(classes)))
    assert all(3 <= len(flight) <= FLIGHT_MOST for flight in flights)
    assert all(list(flight) == sorted(flight) for flight in flights)


@pytest.mark.parametrize(
    ("count", "sizes"), [(15, (7, 8)), (20, (10, 10)), (21, (7, 7, 7)), (48, (9, 10, 9, 10, 10))]
)
def test_flights_are_as_even_as_can_be(count: int, sizes: tuple[int, ...]) -> None:
    # Ten at most: common practice, no source.
    assert flight_sizes((1,) * count, least=3, by_class=False) == sizes


def test_each_class_has_flights_of_its_own_and_a_small_one_goes_with_its_neighbour() -> None:
    classes = (1,) * 12 + (2,) * 9 + (3,) * 2

    flights = draw_flights(classes, least=3, by_class=True, chance=SeededRandom(b"x"))

    stood = [{classes[number] for number in flight} for flight in flights]
    assert stood[:2] == [{1}, {1}]
    assert all(each <= {2, 3} for each in stood[2:])
    assert len(flights) == 4


def test_chance_parts_them_otherwise_each_time() -> None:
    one, other = (
        draw_flights((1,) * 20, least=3, by_class=False, chance=SeededRandom(seed))
        for seed in (b"one", b"other")
    )

    assert one != other
