"""Where each taster begins, and which way round."""

from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.core.errors import OutOfRange
from crustbreak.core.randomness import SeededRandom
from crustbreak.domain.planning.layout.order_designs import Balance, balance
from crustbreak.domain.planning.layout.tasting_orders import (
    Starts,
    balance_of,
    class_order,
    draw_balanced_orders,
    draw_tasting_orders,
    goes_round,
    starts_of,
)
from crustbreak.domain.records.tasting_orders import TastingOrder

# Exceeded once in a thousand times by an even draw. Source: [S7], 5 degrees of freedom (value
# from memory).
CHI_SQUARE_5 = 20.515

SEEDS = st.binary(max_size=16)
CLASSES = st.lists(st.integers(0, 3), min_size=1, max_size=14).map(sorted)


@given(CLASSES, st.integers(1, 12), SEEDS)
def test_every_round_of_every_taster_goes_to_every_place_once(
    classes: list[int], tasters: int, seed: bytes
) -> None:
    tasting_orders = draw_tasting_orders(classes, tasters=tasters, chance=SeededRandom(seed))

    assert len(tasting_orders) == tasters
    for tasting_order in tasting_orders:
        assert (
            sorted(tasting_order.there) == sorted(tasting_order.back) == list(range(len(classes)))
        )


@given(CLASSES, st.integers(1, 12), SEEDS)
def test_nobody_tastes_a_heavy_class_before_a_light_one(
    classes: list[int], tasters: int, seed: bytes
) -> None:
    for tasting_order in draw_tasting_orders(classes, tasters=tasters, chance=SeededRandom(seed)):
        for number in (1, 2, 3):
            tasted = [classes[place] for place in tasting_order.in_round(number)]
            assert tasted == sorted(tasted)


@given(st.integers(1, 14), st.integers(1, 14), SEEDS)
def test_tasters_begin_elsewhere_as_long_as_there_are_places(
    places: int, tasters: int, seed: bytes
) -> None:
    tasting_orders = draw_tasting_orders([0] * places, tasters=tasters, chance=SeededRandom(seed))

    begun = Counter(tasting_order.start for tasting_order in tasting_orders)
    assert len(begun) == min(places, tasters)
    assert max(begun.values()) - min(begun.values()) <= 1


@given(st.integers(3, 14), st.integers(1, 8), SEEDS)
def test_all_go_round_one_way_and_the_second_round_goes_back(
    places: int, tasters: int, seed: bytes
) -> None:
    tasting_orders = draw_tasting_orders([0] * places, tasters=tasters, chance=SeededRandom(seed))

    steps = {
        (after - before) % places
        for tasting_order in tasting_orders
        for before, after in pairwise(tasting_order.there)
    }
    assert steps in ({1}, {places - 1})
    assert all(tasting_order.back == tasting_order.there[::-1] for tasting_order in tasting_orders)


def test_three_tasters_at_nine_places_begin_three_apart() -> None:
    begun = sorted(
        tasting_order.start
        for tasting_order in draw_tasting_orders([0] * 9, tasters=3, chance=SeededRandom(b""))
    )

    assert [after - before for before, after in pairwise(begun)] == [3, 3]


def test_both_ways_round_and_all_starts_are_drawn_evenly() -> None:
    chance = SeededRandom(b"ways")
    seen = Counter(
        draw_tasting_orders([0] * 3, tasters=1, chance=chance)[0].there for _ in range(600)
    )

    assert len(seen) == 6
    assert sum((count - 100) ** 2 / 100 for count in seen.values()) < CHI_SQUARE_5


@pytest.mark.parametrize(("classes", "tasters"), [([], 2), ([0, 1], 0), ([1, 0], 2)])
def test_no_way_where_there_is_none(classes: list[int], tasters: int) -> None:
    with pytest.raises(OutOfRange):
        draw_tasting_orders(classes, tasters=tasters, chance=SeededRandom(b""))


@given(st.lists(st.integers(0, 3), max_size=14), SEEDS)
def test_coffees_stand_by_class_whatever_the_draw(classes: list[int], seed: bytes) -> None:
    order = class_order(classes, SeededRandom(seed))

    assert sorted(order) == list(range(len(classes)))
    assert [classes[coffee] for coffee in order] == sorted(classes)


def test_within_a_class_every_order_comes_equally_often() -> None:
    chance = SeededRandom(b"classes")
    seen = Counter(class_order((2, 1, 1, 1), chance) for _ in range(600))

    assert len(seen) == 6
    assert sum((count - 100) ** 2 / 100 for count in seen.values()) < CHI_SQUARE_5


def test_a_fully_random_order_pays_no_heed_to_classes() -> None:
    chance = SeededRandom(b"random")
    seen = Counter(class_order((2, 1, 3), chance, fully_random=True) for _ in range(600))

    assert len(seen) == 6
    assert sum((count - 100) ** 2 / 100 for count in seen.values()) < CHI_SQUARE_5


@given(CLASSES, SEEDS)
def test_one_seed_gives_one_order_and_one_way(classes: list[int], seed: bytes) -> None:
    assert class_order(classes, SeededRandom(seed)) == class_order(classes, SeededRandom(seed))
    assert draw_tasting_orders(
        classes, tasters=4, chance=SeededRandom(seed)
    ) == draw_tasting_orders(classes, tasters=4, chance=SeededRandom(seed))


@given(CLASSES, st.integers(2, 12), SEEDS)
def test_starts_are_counted_within_each_class(
    classes: list[int], tasters: int, seed: bytes
) -> None:
    tasting_orders = draw_tasting_orders(classes, tasters=tasters, chance=SeededRandom(seed))

    # Counted by hand: who comes first of a class, for each taster.
    sizes = Counter(classes)
    firsts = [
        next(place for place in tasting_order.there if classes[place] == each)
        for each in sizes
        for tasting_order in tasting_orders
    ]
    shared = [place for place, each in enumerate(classes) if sizes[each] > 1]
    counted = [firsts.count(place) for place in shared] or [tasters]
    found = starts_of(tasting_orders)
    assert found == Starts(fewest=min(counted), most=max(counted), classes=len(sizes))


def test_starts_that_are_not_shared_out_evenly_are_told() -> None:
    same = TastingOrder(there=(0, 1, 2), back=(2, 1, 0))
    other = TastingOrder(there=(1, 2, 0), back=(0, 2, 1))

    assert starts_of([same, other, other]) == Starts(fewest=0, most=2, classes=1)


@given(st.integers(1, 10), st.integers(2, 12), SEEDS)
def test_all_places_of_a_round_are_as_balanced_as_the_starts(
    places: int, tasters: int, seed: bytes
) -> None:
    tasting_orders = draw_tasting_orders([0] * places, tasters=tasters, chance=SeededRandom(seed))

    found = starts_of(tasting_orders)
    for ways in (
        [tasting_order.there for tasting_order in tasting_orders],
        [tasting_order.back for tasting_order in tasting_orders],
    ):
        assert balance(ways).positions == found.most - found.fewest <= 1


def test_one_way_alone_shows_no_class() -> None:
    with pytest.raises(OutOfRange):
        starts_of(draw_tasting_orders([0, 0], tasters=1, chance=SeededRandom(b"")))


@given(CLASSES, st.integers(1, 12), SEEDS)
def test_a_balanced_way_goes_everywhere_once_and_through_light_classes_first(
    classes: list[int], tasters: int, seed: bytes
) -> None:
    tasting_orders = draw_balanced_orders(classes, tasters=tasters, chance=SeededRandom(seed))

    assert len(tasting_orders) == tasters
    for tasting_order in tasting_orders:
        for number in (1, 2):
            way = tasting_order.in_round(number)
            assert sorted(way) == list(range(len(classes)))
            assert [classes[place] for place in way] == sorted(classes)


@pytest.mark.parametrize(("places", "tasters"), [(4, 4), (6, 6), (4, 8), (3, 6), (5, 10)])
def test_a_whole_design_is_balanced_in_both_ways(places: int, tasters: int) -> None:
    # An even number needs one square and an odd number two: [S26], from memory.
    tasting_orders = draw_balanced_orders(
        [1] * places, tasters=tasters, chance=SeededRandom(b"whole")
    )

    assert balance_of(tasting_orders) == Balance(positions=0, followers=0)
    assert not goes_round(tasting_orders)


def test_balance_is_that_of_the_class_where_it_is_least() -> None:
    tasting_orders = draw_balanced_orders([1] * 4 + [2] * 2, tasters=4, chance=SeededRandom(b"two"))

    # Four at four places are whole, and so are four at two places: twice each way.
    assert balance_of(tasting_orders) == Balance(positions=0, followers=0)
    assert balance_of(tasting_orders[:3]).followers > 0


@given(st.integers(2, 10), st.integers(2, 8), SEEDS)
def test_ways_round_are_told_from_others(places: int, tasters: int, seed: bytes) -> None:
    assert goes_round(draw_tasting_orders([0] * places, tasters=tasters, chance=SeededRandom(seed)))
    assert goes_round(
        draw_tasting_orders([0] * places + [1] * 3, tasters=tasters, chance=SeededRandom(seed))
    )


def test_without_places_or_tasters_no_way_is_balanced() -> None:
    for classes, tasters in (([], 2), ([1], 0), ([2, 1], 2)):
        with pytest.raises(OutOfRange):
            draw_balanced_orders(classes, tasters=tasters, chance=SeededRandom(b""))
    with pytest.raises(OutOfRange):
        balance_of(draw_tasting_orders([1], tasters=1, chance=SeededRandom(b"")))
