"""The exact finish of a bench, where it can be seen by hand."""

from dataclasses import replace

import pytest

from crustbreak.analysis.scheduling.bench import Bench, Kettles, Pace
from exact_schedules import exact_finish_s

TWO_CUPS = Bench(
    cups=2,
    people=1,
    pace=Pace(pour_s=2, break_s=2, skim_s=2, gap_s=1),
    kettles=Kettles(count=1, pours=2, reheat_s=20),
    steep_s=10,
    tolerance_s=0,
    within_s=None,
)
ALONE_WITH_A_SMALL_KETTLE = replace(TWO_CUPS, kettles=Kettles(count=1, pours=1, reheat_s=20))
TWO_BY_TWO = replace(TWO_CUPS, people=2, kettles=Kettles(count=2, pours=2, reheat_s=20))


@pytest.mark.parametrize(
    ("bench", "finish_s"),
    [
        # From the first break on, at 10 s, four acts of 2 s with a gap between each.
        (TWO_CUPS, 10 + 4 * 2 + 3),
        # The second pour waits from 2 to 22 s; then steep, break, gap and skim.
        (ALONE_WITH_A_SMALL_KETTLE, 22 + 10 + 2 + 1 + 2),
        # Side by side, each as if alone.
        (TWO_BY_TWO, 10 + 2 + 1 + 2),
    ],
)
def test_two_cups_take_what_they_take_by_hand(bench: Bench, finish_s: int) -> None:
    assert exact_finish_s(bench, tolerance_s=0, no_later_than_s=60) == finish_s


def test_a_tolerance_is_spent_where_it_helps() -> None:
    # Every break 2 s early takes 2 s off the finish.
    assert exact_finish_s(TWO_CUPS, tolerance_s=2, no_later_than_s=60) == 19
