"""Codes that are read off a screen and typed with a thumb."""

from collections import Counter
from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from crustbreak.core.randomness import SeededRandom
from crustbreak.domain.tables.join_codes import (
    CODE_LENGTH,
    PASS_LASTS,
    SIGNS,
    WRONG_CODES,
    WRONG_WITHIN,
    draw_code,
    is_pass_open,
    is_worn_out,
    paper_code,
    read_code,
)
from tables import NOON


def test_signs_hold_nothing_that_is_taken_for_another() -> None:
    assert len(SIGNS) == len(set(SIGNS)) == 31
    assert not set(SIGNS) & set("01ILO")


@given(st.binary(min_size=1))
def test_code_is_six_signs_and_reads_as_itself(seed: bytes) -> None:
    code = draw_code(SeededRandom(seed))

    assert len(code) == CODE_LENGTH == 6
    assert read_code(code) == code
    assert read_code(f" {code[:3].lower()}-{code[3:]} ") == code


def test_signs_come_about_equally_often() -> None:
    drawn = Counter("".join(draw_code(SeededRandom(f"{n}".encode())) for n in range(3100)))

    # 18,600 signs, 600 of each expected; five standard deviations of a binomial are 121.
    assert all(abs(drawn[sign] - 600) < 121 for sign in SIGNS)


def test_ten_wrong_codes_within_ten_minutes_wear_a_code_out() -> None:
    spread = [NOON + WRONG_WITHIN / WRONG_CODES * nth for nth in range(WRONG_CODES)]
    last = spread[-1]

    assert not is_worn_out(spread[:-1], last)
    assert is_worn_out(spread, last)
    assert not is_worn_out(spread, NOON + WRONG_WITHIN)


def test_pass_is_open_for_ten_minutes() -> None:
    assert is_pass_open(NOON, NOON + PASS_LASTS - timedelta(seconds=1))
    assert not is_pass_open(NOON, NOON + PASS_LASTS)


@given(st.sets(st.integers(0, 30), min_size=2), st.text("0123456789abcdef", min_size=1))
def test_seats_of_a_table_have_paper_codes_of_their_own(places: set[int], seat_id: str) -> None:
    codes = [paper_code(f"{seat_id}{place}", place) for place in places]

    assert len(set(codes)) == len(codes)
    assert all(len(code) == 3 and set(code) <= set(SIGNS) for code in codes)
