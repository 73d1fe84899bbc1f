"""Rounds between too hot and too cold. All figures: common practice, no source."""

import pytest

from crustbreak.domain.planning.tasting_time import (
    RELEASE_WRITING_S,
    WINDOW_MIN,
    WRITING_S,
    bowls_in_time,
    tasting_s,
)


def fits(coffees: int, cups: int, *, rounds: int, writing_s: float) -> bool:
    needed = tasting_s(coffees=coffees, bowls=coffees * cups, rounds=rounds, writing_s=writing_s)
    return needed <= WINDOW_MIN * 60


@pytest.mark.parametrize(
    ("coffees", "cups", "fit"),
    [(6, 5, True), (8, 3, True), (12, 1, True), (10, 3, False), (8, 5, False), (10, 5, False)],
)
def test_three_rounds_on_the_ten_line_sheet(coffees: int, cups: int, fit: bool) -> None:
    assert fits(coffees, cups, rounds=3, writing_s=WRITING_S) is fit


@pytest.mark.parametrize("batches", range(14, 21))
def test_fourteen_to_twenty_single_cups_fit_two_rounds_of_a_release_check(batches: int) -> None:
    assert fits(batches, 1, rounds=2, writing_s=RELEASE_WRITING_S)


def test_time_is_rounds_of_cups_and_writing() -> None:
    """Ten coffees in three cups, three rounds: 3 x (30 x 8 + 10 x 25) = 1,470 s."""
    assert tasting_s(coffees=10, bowls=30, rounds=3, writing_s=25) == 1470


@pytest.mark.parametrize(("codes", "bowls"), [(1, 5), (6, 5), (7, 3), (8, 3), (9, 1), (12, 1)])
def test_as_many_bowls_as_can_be_tasted_while_warm(codes: int, bowls: int) -> None:
    # 6 x 5, 8 x 3 and 12 x 1 fit three rounds, and one code more does not: common practice, no
    # source.
    assert bowls_in_time(codes, (5, 3, 1), rounds=3) == bowls


def test_one_bowl_stands_there_even_where_time_is_too_short() -> None:
    # 14 x (8 + 25) s x 3 are 1386 s, and 20 minutes are 1200.
    assert bowls_in_time(14, (5, 3, 1), rounds=3) == 1
