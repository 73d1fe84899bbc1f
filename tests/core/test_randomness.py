"""Draws that can be run again, and favour nobody."""

from collections import Counter
from collections.abc import Iterator, Sequence
from hashlib import sha256

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.core.randomness import SeededRandom

# Exceeded once in a thousand times by an even draw. Source: [S7], 5 degrees of
# freedom (value from memory).
CHI_SQUARE_5 = 20.515


def words(seed: bytes) -> Iterator[int]:
    """Give the stream as its module describes it: SHA-256 of seed and a running number."""
    number = 0
    while True:
        yield int(sha256(seed + number.to_bytes(8, "big")).hexdigest()[:16], 16)
        number += 1


# The message of n noughts is a seed of n - 8 noughts and the number nought. Source: [S8].
@pytest.mark.parametrize(
    ("noughts", "digest_begins"),
    [
        (55, "02779466cdec1638"),
        (56, "d4817aa5497628e7"),
        (57, "65a16cb7861335d5"),
        (64, "f5a5fd42d16a2030"),
    ],
)
def test_stream_begins_as_published_digests_do(noughts: int, digest_begins: str) -> None:
    assert SeededRandom(bytes(noughts - 8)).identity()[:16] == digest_begins


@given(st.binary(max_size=64))
def test_stream_goes_on_in_counter_mode(seed: bytes) -> None:
    stream, chance = words(seed), SeededRandom(seed)

    drawn = [chance.below(1 << 64) for _ in range(5)]

    assert drawn == [next(stream) for _ in range(5)]


@given(st.binary(max_size=32), st.integers(0, 12))
def test_shuffle_is_the_one_in_the_textbook(seed: bytes, count: int) -> None:
    """Random exchanges from the last item down. Source: [S9], algorithm P, from memory."""
    stream, deck = words(seed), list(range(count))
    for j in range(count, 1, -1):
        k = next(stream) % j
        deck[j - 1], deck[k] = deck[k], deck[j - 1]

    # A word is refused less than once in 10^18 draws here, so none is.
    assert SeededRandom(seed).shuffled(range(count)) == tuple(deck)


@given(st.binary(max_size=8), st.integers(1, 1 << 64))
def test_number_lies_below_its_bound(seed: bytes, bound: int) -> None:
    assert 0 <= SeededRandom(seed).below(bound) < bound


@pytest.mark.parametrize("bound", [0, -1])
def test_nothing_lies_below_nought(bound: int) -> None:
    with pytest.raises(ValueError, match="at least 1"):
        SeededRandom(b"").below(bound)


def test_small_numbers_are_not_favoured() -> None:
    """Taking a remainder alone would put half of all draws into the lowest third."""
    third, chance = 1 << 62, SeededRandom(b"bias")

    low = sum(chance.below(3 * third) < third for _ in range(6000))

    # Four standard deviations of a binomial with a third: 4 * sqrt(6000 * 2 / 9) = 146.
    assert abs(low - 2000) < 146


def test_orders_of_three_come_equally_often() -> None:
    chance = SeededRandom(b"three")

    seen = Counter(chance.shuffled("abc") for _ in range(6000))

    assert len(seen) == 6
    assert sum((count - 1000) ** 2 / 1000 for count in seen.values()) < CHI_SQUARE_5


@pytest.mark.parametrize("items", [(), ("one",), ("same", "same"), tuple(range(60))])
def test_shuffle_keeps_every_item_and_its_argument(items: Sequence[object]) -> None:
    given_items = list(items)

    drawn = SeededRandom(b"keep").shuffled(given_items)

    assert Counter(drawn) == Counter(items)
    assert given_items == list(items)


def test_identities_are_128_bits_and_never_twice_the_same() -> None:
    chance = SeededRandom(b"id")

    drawn = [chance.identity() for _ in range(1000)]

    assert len(set(drawn)) == 1000
    assert all(len(each) == 32 and int(each, 16) >= 0 for each in drawn)


def test_other_seed_is_another_stream() -> None:
    assert SeededRandom(b"a").identity() != SeededRandom(b"b").identity()
