"""Who tastes which codes: even, and compared by as many of the same tasters."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.core.randomness import SeededRandom
from crustbreak.domain.planning.layout.taster_shares import (
    LEAST_SHARE,
    Evenness,
    check_share,
    evenness_of,
    share_out,
)
from crustbreak.domain.planning.layout.tasting_orders import draw_tasting_orders
from crustbreak.domain.records.tasting_orders import TastingOrder


def walks_of(
    codes: int, tasters: int, *, share: int, seed: bytes = b"s"
) -> tuple[TastingOrder, ...]:
    chance = SeededRandom(seed)
    tasting_orders = draw_tasting_orders([1] * codes, tasters=tasters, chance=chance)
    return share_out(tasting_orders, share=share, chance=chance)


def test_seven_codes_in_threes_are_balanced() -> None:
    # Seven blocks of three, any two codes together once: the smallest balanced design of this
    # kind, Cochran and Cox [S27]; its efficiency is v (k - 1) / (k (v - 1)) = 14 / 18.
    even = evenness_of(walks_of(7, 7, share=3), codes=7)

    assert even == Evenness(
        size=3, codes=7, times=(3, 3), together=(1, 1), efficiency=pytest.approx(14 / 18)
    )


@given(st.integers(4, 14), st.integers(2, 6), st.binary(max_size=8), st.data())
def test_every_code_is_tasted_by_as_many_or_one_more(
    codes: int, tasters: int, seed: bytes, data: st.DataObject
) -> None:
    least = max(LEAST_SHARE, -(-codes // tasters))
    share = data.draw(st.integers(min(least, codes), codes))

    tasting_orders = walks_of(codes, tasters, share=share, seed=seed)

    tasted = [
        sum(code in tasting_order.there for tasting_order in tasting_orders)
        for code in range(codes)
    ]
    assert min(tasted) >= 1
    assert max(tasted) - min(tasted) <= 1
    assert all(len(tasting_order.there) == share for tasting_order in tasting_orders)


def test_what_is_left_is_tasted_in_the_order_of_before() -> None:
    whole = draw_tasting_orders([1, 1, 1, 2, 2, 2], tasters=3, chance=SeededRandom(b"order"))

    shared = share_out(whole, share=4, chance=SeededRandom(b"share"))

    for before, after in zip(whole, shared, strict=True):
        assert set(after.there) == set(after.back)
        for one, other in combinations(after.there, 2):
            assert before.there.index(one) < before.there.index(other)
        # Classes still come one after the other.
        assert sorted(after.there, key=lambda place: place > 2) == list(after.there)


def test_all_of_them_leaves_all_as_it_was() -> None:
    whole = draw_tasting_orders([1] * 5, tasters=2, chance=SeededRandom(b"all"))

    assert share_out(whole, share=5, chance=SeededRandom(b"")) == whole
    assert evenness_of(whole, codes=5) is None


@pytest.mark.parametrize(
    ("share", "codes", "tasters", "rule"),
    [
        (2, 6, 6, "3 to 6, so that every one of 6 codes is tasted"),
        (3, 12, 3, "4 to 12, so that every one of 12 codes is tasted"),
        (13, 12, 3, "4 to 12, so that every one of 12 codes is tasted"),
        (0, 12, 3, "4 to 12, so that every one of 12 codes is tasted"),
    ],
)
def test_says_which_shares_go(share: int, codes: int, tasters: int, rule: str) -> None:
    (problem,) = check_share(share, codes=codes, tasters=tasters)

    assert (problem.rule, problem.found) == (rule, str(share))


@pytest.mark.parametrize("share", [None, 4, 8, 12])
def test_a_share_that_goes_has_no_problem(share: int | None) -> None:
    assert check_share(share, codes=12, tasters=3) == ()
