"""What is made keeps every rule, and is seldom far from the quickest there is."""

from dataclasses import replace

import pytest
from hypothesis import given, settings

from benches import bench, real_benches
from crustbreak.analysis.scheduling.bench import Bench
from crustbreak.analysis.scheduling.checking import check_schedule
from crustbreak.analysis.scheduling.least_time import least_finish_s
from crustbreak.analysis.scheduling.making import quickest_schedule


@settings(max_examples=150, deadline=None)
@given(real_benches())
def test_every_schedule_that_is_made_passes_the_checker(asked: Bench) -> None:
    asked = replace(asked, within_s=None)

    made = quickest_schedule(asked, tolerance_s=asked.tolerance_s)

    assert check_schedule(made) == ()
    assert made.finish_s >= least_finish_s(asked, tolerance_s=asked.tolerance_s)


@settings(max_examples=60, deadline=None)
@given(real_benches())
def test_without_a_tolerance_every_cup_steeps_to_the_second(asked: Bench) -> None:
    made = quickest_schedule(asked, tolerance_s=0)

    assert set(made.errors_s) == {0}


@pytest.mark.parametrize(("pace_s", "cups"), [(20, 12), (15, 16), (12, 20), (10, 24), (8, 30)])
def test_as_many_cups_go_before_the_first_break_as_fit_into_the_steep(
    pace_s: int, cups: int
) -> None:
    # 240 s by the seconds from pour to pour: by hand, and common practice, no source.
    usual = bench(cups)
    usual = replace(usual, pace=replace(usual.pace, pour_s=pace_s - 2, break_s=pace_s - 2))

    all_fit = quickest_schedule(usual, tolerance_s=0)
    one_more = quickest_schedule(replace(usual, cups=cups + 1), tolerance_s=0)

    assert all_fit.cups[-1].pour.until_s <= all_fit.cups[0].break_.from_s
    assert one_more.cups[-1].pour.from_s >= one_more.cups[0].break_.until_s


def test_slower_breaks_slow_the_pours_so_that_the_last_cup_steeps_no_longer() -> None:
    usual = bench(10)

    made = quickest_schedule(
        replace(usual, pace=replace(usual.pace, pour_s=6, break_s=11)), tolerance_s=0
    )

    assert [cup.pour.from_s for cup in made.cups] == [13 * no for no in range(10)]


@pytest.mark.parametrize(
    ("asked", "over_s"),
    [(bench(40), 5), (bench(60, people=2), 5), (bench(60, people=2, kettles=2), 15)],
)
def test_large_tables_are_finished_close_to_the_bound(asked: Bench, over_s: int) -> None:
    made = quickest_schedule(asked, tolerance_s=0)

    assert made.finish_s <= least_finish_s(asked, tolerance_s=0) + over_s


def test_a_second_kettle_pours_while_the_first_is_reheated() -> None:
    made = quickest_schedule(bench(12, kettles=2, pours=6), tolerance_s=0)

    assert [(fill.kettle, fill.cups) for fill in made.fills] == [
        (1, (1, 2, 3, 4, 5, 6)),
        (2, (7, 8, 9, 10, 11, 12)),
    ]
    assert [cup.pour.from_s for cup in made.cups] == list(range(0, 120, 10))


def test_a_kettle_that_lasts_is_filled_once_however_quickly_it_reheats() -> None:
    made = quickest_schedule(bench(30, pours=30, reheat_s=0), tolerance_s=0)

    assert [fill.cups for fill in made.fills] == [tuple(range(1, 31))]


def test_a_cup_is_tasted_when_it_is_cool_and_never_before_it_is_skimmed() -> None:
    asked = bench(40)

    made = quickest_schedule(asked, tolerance_s=0)
    at_once = quickest_schedule(replace(asked, cool_s=0), tolerance_s=0)

    assert made.cups[0].taste_s == 720
    assert all(cup.taste_s == cup.skim.until_s for cup in at_once.cups)


def test_one_bench_always_gets_the_same_schedule() -> None:
    asked = bench(35, people=2, kettles=2, pours=8)

    assert quickest_schedule(asked, tolerance_s=3) == quickest_schedule(asked, tolerance_s=3)
