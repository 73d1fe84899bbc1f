"""Rounds between too hot and too cold. All figures: common practice, no source."""

import pytest

from crustbreak.domain.planning.tasting_time import (
    RELEASE_WRITING_S,
    WINDOW_MIN,
    WRITING_S,
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
