"""Codes that tell nothing and are not taken for each other."""

from collections import Counter
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crustbreak.core.errors import OutOfRange
from crustbreak.core.randomness import SeededRandom
from crustbreak.domain.planning.layout.blind_codes import MOST_CODES, draw_codes

# Exceeded once in a thousand times by an even draw. Source: [S7], 8 degrees of
# freedom (value from memory).
CHI_SQUARE_8 = 26.124

RUNS = {"123", "234", "345", "456", "567", "678", "789"}
RUNS_DOWN = {"987", "876", "765", "654", "543", "432", "321", "210"}
SEEDS = st.binary(min_size=1, max_size=16)


def places_apart(one: str, other: str) -> int:
    return sum(a != b for a, b in zip(one, other, strict=True))


def is_plain(code: str) -> bool:
    return len(code) == len(set(code)) == 3 and code[0] != "0" and code not in RUNS | RUNS_DOWN


@pytest.mark.parametrize("count", range(1, MOST_CODES + 1))
def test_every_number_of_codes_keeps_every_rule(count: int) -> None:
    codes = draw_codes(count, SeededRandom(count.to_bytes(4, "big")))

    assert len(codes) == count
    assert all(is_plain(code) and code.isdecimal() for code in codes)
    assert all(places_apart(*pair) >= 2 for pair in combinations(codes, 2))
    assert len({code[0] for code in codes}) == min(count, 9)


@settings(max_examples=40)
@given(SEEDS)
def test_largest_table_always_finds_its_codes(seed: bytes) -> None:
    codes = draw_codes(MOST_CODES, SeededRandom(seed))

    assert all(places_apart(*pair) >= 2 for pair in combinations(codes, 2))


@pytest.mark.parametrize("count", [-1, 0, 61, 10**9])
def test_numbers_outside_are_refused_with_the_limit(count: int) -> None:
    with pytest.raises(OutOfRange) as refused:
        draw_codes(count, SeededRandom(b""))

    assert str(count) in refused.value.message
    assert "60" in refused.value.hint


@given(SEEDS, st.integers(1, 12))
def test_same_seed_draws_the_same_codes(seed: bytes, count: int) -> None:
    assert draw_codes(count, SeededRandom(seed)) == draw_codes(count, SeededRandom(seed))


@given(SEEDS, st.integers(1, 12))
def test_codes_are_the_first_that_fit_of_all_in_a_drawn_order(seed: bytes, count: int) -> None:
    """The draw can be done again by hand: shuffle all plain codes, then go down the list."""
    deck = SeededRandom(seed).shuffled([str(n) for n in range(100, 1000) if is_plain(str(n))])
    chosen: list[str] = []
    for _ in range(count):
        apart = [code for code in deck if all(places_apart(code, one) > 1 for one in chosen)]
        begun = "".join(code[0] for code in chosen)
        chosen.append(next((code for code in apart if code[0] not in begun), apart[0]))

    assert draw_codes(count, SeededRandom(seed)) == tuple(chosen)


def test_leading_digits_come_as_often_as_there_are_codes_with_them() -> None:
    """72 codes begin with each digit, less the runs up from it and down from it."""
    runs = Counter(run[0] for run in RUNS | RUNS_DOWN)
    expected = {digit: 2 * (72 - runs[digit]) for digit in "123456789"}

    chance = SeededRandom(b"leading digit")
    seen = Counter(draw_codes(1, chance)[0][0] for _ in range(1266))

    deviation = sum((seen[digit] - often) ** 2 / often for digit, often in expected.items())
    assert sum(expected.values()) == 1266
    assert deviation < CHI_SQUARE_8
