"""Blocks that compare each coffee with each other, and flights with a bridge between them."""

from collections import Counter
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crustbreak.core.errors import OutOfRange
from crustbreak.core.randomness import SeededRandom
from crustbreak.domain.planning.layout.incomplete_blocks import (
    Blocks,
    draw_blocks,
    efficiency,
    split_flights,
)

# Coffees, size of a block, blocks, times tasted, times together: Cochran and Cox [S27], from
# memory. 7, 3, 7, 3, 1 is the plane of Fano.
PLANS = [
    (4, 2, 6, 3, 1),
    (4, 3, 4, 3, 2),
    (5, 2, 10, 4, 1),
    (5, 3, 10, 6, 3),
    (5, 4, 5, 4, 3),
    (6, 2, 15, 5, 1),
    (6, 3, 10, 5, 2),
    (6, 4, 15, 10, 6),
    (6, 5, 6, 5, 4),
    (7, 3, 7, 3, 1),
    (7, 4, 7, 4, 2),
    (8, 4, 14, 7, 3),
    (9, 3, 12, 4, 1),
    (9, 4, 18, 8, 3),
    (9, 5, 18, 10, 5),
    (9, 6, 12, 8, 5),
    (10, 3, 30, 9, 2),
    (10, 4, 15, 6, 2),
    (10, 6, 15, 9, 5),
    (11, 5, 11, 5, 2),
    (11, 6, 11, 6, 3),
    (13, 4, 13, 4, 1),
]
# Plans that the search is too short for.
LARGE_PLANS = [(16, 4, 20, 5, 1), (16, 6, 16, 6, 2), (21, 5, 21, 5, 1), (25, 5, 30, 6, 1)]
FANO = Blocks(
    coffees=7,
    sets=((0, 1, 3), (1, 2, 4), (2, 3, 5), (3, 4, 6), (4, 5, 0), (5, 6, 1), (6, 0, 2)),
)


@pytest.mark.parametrize(("v", "k", "b", "r", "together"), PLANS)
def test_a_balanced_plan_in_print_is_found(v: int, k: int, b: int, r: int, together: int) -> None:
    assert (b * k, together * (v - 1)) == (v * r, r * (k - 1))

    found = draw_blocks(v, blocks=b, size=k, chance=SeededRandom(b"plan"))

    assert found.is_balanced
    assert set(found.times_tasted) == {r}
    assert set(found.times_together.values()) == {together}
    assert efficiency(found) == pytest.approx(v * (k - 1) / (k * (v - 1)), abs=1e-9)


@pytest.mark.parametrize(("v", "k", "b", "r", "together"), LARGE_PLANS)
def test_a_large_plan_is_nearly_balanced(v: int, k: int, b: int, r: int, together: int) -> None:
    found = draw_blocks(v, blocks=b, size=k, chance=SeededRandom(b"large"))

    assert set(found.times_tasted) == {r}
    assert set(found.times_together.values()) <= {together - 1, together, together + 1}
    best = v * (k - 1) / (k * (v - 1))
    assert 0.98 * best < efficiency(found) < best + 1e-9


def test_the_plane_of_fano_keeps_seven_ninths() -> None:
    assert FANO.is_balanced
    assert efficiency(FANO) == pytest.approx(7 / 9)


@settings(max_examples=60, deadline=None)
@given(st.data(), st.binary(max_size=8))
def test_any_blocks_keep_their_size_and_spread_the_tastings(
    data: st.DataObject, seed: bytes
) -> None:
    coffees = data.draw(st.integers(2, 10))
    size = data.draw(st.integers(2, coffees))
    blocks = data.draw(st.integers(1, 12))

    found = draw_blocks(coffees, blocks=blocks, size=size, chance=SeededRandom(seed))

    assert [len(set(block)) for block in found.sets] == [size] * blocks
    assert max(found.times_tasted) - min(found.times_tasted) <= 1
    together: Counter[tuple[int, int]] = Counter()
    for pair in combinations(range(coffees), 2):
        together[pair] = sum(set(pair) <= set(block) for block in found.sets)
    assert found.times_together == dict(together)


def by_eigenvalues(blocks: Blocks) -> float:
    """Give the harmonic mean of the canonical efficiency factors, from the spectrum."""
    incidence = np.zeros((blocks.coffees, len(blocks.sets)))
    for at, block in enumerate(blocks.sets):
        incidence[list(block), at] = 1
    times = incidence.sum(axis=1)
    information = np.diag(times) - incidence / incidence.sum(axis=0) @ incidence.T
    spectrum = np.linalg.eigvalsh(information)[1:]
    if spectrum[0] < 1e-9:
        return 0.0
    return float(len(spectrum) / (times.mean() * (1 / spectrum).sum()))


@settings(max_examples=60, deadline=None)
@given(st.integers(2, 9), st.integers(1, 10), st.binary(max_size=8))
def test_efficiency_is_that_of_the_spectrum(coffees: int, blocks: int, seed: bytes) -> None:
    chance = SeededRandom(seed)
    size = 2 + chance.below(coffees - 1)

    found = draw_blocks(coffees, blocks=blocks, size=size, chance=chance)

    assert efficiency(found) == pytest.approx(by_eigenvalues(found), abs=1e-9)


def test_complete_blocks_keep_everything_and_blocks_apart_nothing() -> None:
    complete = draw_blocks(5, blocks=3, size=5, chance=SeededRandom(b""))
    apart = Blocks(coffees=4, sets=((0, 1), (2, 3)))

    assert efficiency(complete) == pytest.approx(1.0)
    assert efficiency(apart) == 0.0


@pytest.mark.parametrize(
    ("coffees", "blocks", "size"), [(1, 3, 1), (61, 3, 5), (5, 0, 2), (5, 3, 6)]
)
def test_what_cannot_be_blocked_is_refused(coffees: int, blocks: int, size: int) -> None:
    with pytest.raises(OutOfRange):
        draw_blocks(coffees, blocks=blocks, size=size, chance=SeededRandom(b""))


def test_one_seed_gives_one_design_and_another_another() -> None:
    drawn = [
        draw_blocks(7, blocks=7, size=3, chance=SeededRandom(seed)) for seed in (b"a", b"a", b"b")
    ]

    assert drawn[0] == drawn[1]
    assert drawn[0] != drawn[2]


@given(st.integers(1, 25), st.data(), st.binary(max_size=8))
def test_flights_hold_every_coffee_once_and_are_of_one_size(
    coffees: int, data: st.DataObject, seed: bytes
) -> None:
    flights = data.draw(st.integers(1, coffees))

    split = split_flights(range(coffees), flights=flights, chance=SeededRandom(seed))

    assert sorted(coffee for flight in split for coffee in flight) == list(range(coffees))
    assert len(split) == flights
    assert max(map(len, split)) - min(map(len, split)) <= 1


@given(st.integers(2, 25), st.binary(max_size=8))
def test_the_control_stands_once_in_each_flight(coffees: int, seed: bytes) -> None:
    names = [f"coffee {number}" for number in range(coffees)]

    split = split_flights(names, flights=2, chance=SeededRandom(seed), control="known")

    assert [flight.count("known") for flight in split] == [1, 1]
    assert sum(map(len, split)) == coffees + 2
    assert split == split_flights(names, flights=2, chance=SeededRandom(seed), control="known")


def test_flights_are_drawn_and_so_is_where_the_control_stands() -> None:
    splits = [
        split_flights("abcdef", flights=2, chance=SeededRandom(bytes([seed])), control="k")
        for seed in range(200)
    ]

    with_a = Counter(frozenset(next(each for each in split if "a" in each)) for split in splits)
    # Two others of five go with each coffee.
    assert len(with_a) == 10
    assert {split[0].index("k") for split in splits} == {0, 1, 2, 3}


@pytest.mark.parametrize(("flights", "control"), [(0, None), (4, None), (2, "a")])
def test_flights_that_cannot_be_are_refused(flights: int, control: str | None) -> None:
    with pytest.raises(OutOfRange):
        split_flights("abc", flights=flights, chance=SeededRandom(b""), control=control)
