from dataclasses import replace

import pytest
from hypothesis import given, settings

from benches import bench, real_benches, small_benches
from crustbreak.analysis.scheduling.bench import Bench, Kettles, Pace
from crustbreak.analysis.scheduling.least_time import earliest_pours_s, least_finish_s
from crustbreak.analysis.scheduling.making import quickest_schedule
from exact_schedules import exact_finish_s


@settings(max_examples=40, deadline=None)
@given(small_benches())
def test_nothing_is_finished_sooner_than_the_bound(small: Bench) -> None:
    tolerance_s = small.tolerance_s
    found_s = quickest_schedule(small, tolerance_s=tolerance_s).finish_s

    exact_s = exact_finish_s(small, tolerance_s=tolerance_s, no_later_than_s=found_s)

    assert exact_s is not None
    assert least_finish_s(small, tolerance_s=tolerance_s) <= exact_s <= found_s


@pytest.mark.parametrize(
    ("asked", "least_s"),
    [
        # One cup: steep, break, gap, skim.
        (bench(1), 240 + 8 + 2 + 5),
        # All work of one person: a pour, a break and a skim a cup, and the gaps between them.
        (bench(40), 40 * (8 + 8 + 5) + (3 * 40 - 1) * 2),
        # One kettle for two: the second stands by until the first break.
        (bench(60, people=2), (60 * 27 + 240) / 2 - 2),
        # Ten fills of one cup: nine times 8 s to pour and 150 to reheat, then the last cup alone.
        (bench(10, pours=1), 9 * 158 + 255),
    ],
)
def test_bounds_of_usual_benches_by_hand(asked: Bench, least_s: int) -> None:
    assert least_finish_s(asked, tolerance_s=0) == least_s


def test_a_tolerance_takes_off_the_bound_of_one_cup_what_it_is() -> None:
    assert least_finish_s(bench(1), tolerance_s=10) == 245


def test_pours_wait_for_a_hand_and_for_a_hot_kettle() -> None:
    assert earliest_pours_s(bench(5, pours=2, reheat_s=100)) == (0, 10, 118, 128, 236)
    assert earliest_pours_s(bench(5, people=2, kettles=2)) == (0, 0, 10, 10, 20)
    assert earliest_pours_s(bench(4, people=1, kettles=2)) == (0, 10, 20, 30)


def test_a_break_may_wait_for_one_more_pour() -> None:
    # Nine cups, eight a kettle: the ninth is poured at 8 x 14 + 62 = 174 s. A first break at 174 s
    # leaves it for later and one at 175 s does not, so that the wider tolerance must not cost more.
    asked = Bench(
        cups=9,
        people=1,
        pace=Pace(pour_s=10, break_s=3, skim_s=10, gap_s=4),
        kettles=Kettles(count=1, pours=8, reheat_s=66),
        steep_s=180,
        within_s=None,
    )

    assert least_finish_s(asked, tolerance_s=6) <= least_finish_s(asked, tolerance_s=5)


@given(real_benches())
def test_more_of_anything_never_raises_the_bound(asked: Bench) -> None:
    helped = replace(asked, people=asked.people + 1)
    heated = replace(asked, kettles=replace(asked.kettles, count=asked.kettles.count + 1))

    least_s = least_finish_s(asked, tolerance_s=5)
    assert least_finish_s(helped, tolerance_s=5) <= least_s
    assert least_finish_s(heated, tolerance_s=5) <= least_s
    assert least_finish_s(asked, tolerance_s=6) <= least_s
