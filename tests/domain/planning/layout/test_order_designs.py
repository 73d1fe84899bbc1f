"""Orders that favour no coffee."""

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.core.errors import OutOfRange
from crustbreak.core.randomness import SeededRandom
from crustbreak.domain.planning.layout.order_designs import (
    Balance,
    balance,
    draw_orders,
    williams_orders,
)


@pytest.mark.parametrize("treatments", range(2, 13))
def test_each_treatment_follows_each_other_equally_often(treatments: int) -> None:
    # Williams [S26], from memory: once in n orders for an even number, twice in 2n for an odd.
    orders = williams_orders(treatments)
    often = 1 if treatments % 2 == 0 else 2

    followed: Counter[tuple[int, int]] = Counter()
    for order in orders:
        for at in range(treatments - 1):
            followed[order[at], order[at + 1]] += 1
    assert len(orders) == often * treatments
    assert len(followed) == treatments * (treatments - 1)
    assert set(followed.values()) == {often}


@pytest.mark.parametrize("treatments", range(1, 13))
def test_each_treatment_stands_at_each_position_equally_often(treatments: int) -> None:
    orders = williams_orders(treatments)

    for position in range(treatments):
        stood = Counter(order[position] for order in orders)
        assert set(stood.values()) == {len(orders) // treatments}
        assert set(stood) == set(range(treatments))


def test_squares_of_four_and_six_are_the_ones_in_print() -> None:
    # Williams [S26], from memory.
    assert williams_orders(4) == ((0, 1, 3, 2), (1, 2, 0, 3), (2, 3, 1, 0), (3, 0, 2, 1))
    assert williams_orders(6)[0] == (0, 1, 5, 2, 4, 3)


@pytest.mark.parametrize("treatments", [-1, 0, 61])
def test_numbers_outside_are_refused(treatments: int) -> None:
    with pytest.raises(OutOfRange):
        williams_orders(treatments)


@pytest.mark.parametrize(
    ("orders", "positions", "followers"),
    [
        # By hand. One taster: each coffee at one of three positions, two of six pairs once.
        ([(0, 1, 2)], 1, 1),
        # Always the same order.
        ([(0, 1, 2)] * 4, 4, 4),
        # All six orders of three.
        ([(0, 1, 2), (1, 2, 0), (2, 0, 1), (2, 1, 0), (0, 2, 1), (1, 0, 2)], 0, 0),
        # Turned round only: 0 comes before 1, 1 before 2, 2 before 0, each twice.
        ([(0, 1, 2), (1, 2, 0), (2, 0, 1)], 0, 2),
        # Blocks of two of three coffees: 0, 1 and 2 once first and once second.
        ([(0, 1), (1, 2), (2, 0)], 0, 1),
        ([], 0, 0),
        ([(5,)], 0, 0),
    ],
)
def test_balance_is_counted_by_hand(
    orders: list[tuple[int, ...]], positions: int, followers: int
) -> None:
    assert balance(orders) == Balance(positions=positions, followers=followers)


@pytest.mark.parametrize("coffees", range(3, 11))
def test_a_whole_design_is_balanced_however_it_is_drawn(coffees: int) -> None:
    tasters = coffees if coffees % 2 == 0 else 2 * coffees

    drawn = draw_orders(coffees, tasters=tasters, chance=SeededRandom(b"whole"))

    assert balance(drawn) == Balance(positions=0, followers=0)


@given(st.integers(1, 9), st.integers(1, 14), st.binary(max_size=8))
def test_everybody_gets_every_coffee_once_and_no_order_is_favoured(
    coffees: int, tasters: int, seed: bytes
) -> None:
    drawn = draw_orders(coffees, tasters=tasters, chance=SeededRandom(seed))

    assert [sorted(order) for order in drawn] == [list(range(coffees))] * tasters
    # What is left over of a design adds no more than its own counts.
    found = balance(drawn)
    assert found.positions <= 2
    assert found.followers <= 2


@pytest.mark.parametrize("coffees", [4, 6, 8])
def test_few_tasters_share_no_position_and_no_follower(coffees: int) -> None:
    # Any rows of a square in which each follows each other once.
    drawn = draw_orders(coffees, tasters=3, chance=SeededRandom(b"few"))

    assert balance(drawn) == Balance(positions=1, followers=1)


@given(st.integers(2, 7), st.integers(1, 6), st.binary(max_size=8))
def test_one_seed_gives_one_set_of_orders(coffees: int, tasters: int, seed: bytes) -> None:
    once, again = (
        draw_orders(coffees, tasters=tasters, chance=SeededRandom(seed)) for _ in range(2)
    )

    assert once == again


def test_another_seed_gives_other_orders() -> None:
    drawn = {draw_orders(6, tasters=3, chance=SeededRandom(bytes([seed]))) for seed in range(20)}

    assert len(drawn) == 20


def test_no_orders_for_nobody() -> None:
    with pytest.raises(OutOfRange):
        draw_orders(4, tasters=0, chance=SeededRandom(b""))
