from dataclasses import replace

import pytest

from benches import bench
from crustbreak.analysis.scheduling.bench import Bench, Kettles, Pace, bench_from, check_bench
from crustbreak.domain.records.recipes import STANDARD

GOOD = bench(20)


def test_a_usual_bench_has_nothing_to_mend() -> None:
    assert check_bench(GOOD) == ()


@pytest.mark.parametrize(
    ("faulty", "where"),
    [
        (replace(GOOD, cups=0), "Cups"),
        (replace(GOOD, cups=121), "Cups"),
        (replace(GOOD, people=5), "People"),
        (replace(GOOD, people=True), "People"),
        (replace(GOOD, people=2, pourers=3), "People who pour"),
        (replace(GOOD, pace=replace(GOOD.pace, pour_s=0)), "Seconds a pour"),
        (replace(GOOD, pace=replace(GOOD.pace, break_s=2.5)), "Seconds a break"),
        (replace(GOOD, pace=replace(GOOD.pace, skim_s=-1)), "Seconds a skim"),
        (replace(GOOD, kettles=replace(GOOD.kettles, count=0)), "Kettles"),
        (replace(GOOD, kettles=replace(GOOD.kettles, pours=0)), "Pours a fill"),
        (replace(GOOD, kettles=replace(GOOD.kettles, reheat_s=-1)), "Seconds to reheat"),
        (replace(GOOD, steep_s=5), "Seconds of steep"),
        (replace(GOOD, tolerance_s=-1), "Tolerance, seconds"),
        (replace(GOOD, cool_s=-1), "Seconds until the first taste"),
        (replace(GOOD, within_s=-1), "Seconds until all is skimmed"),
        (replace(GOOD, steep_s=15, tolerance_s=6), "Steep"),
    ],
)
def test_each_fault_is_named_where_it_is(faulty: Bench, where: str) -> None:
    problems = check_bench(faulty)

    assert [problem.where for problem in problems] == [where]


def test_nobody_can_ask_for_no_gap_between_two_acts() -> None:
    hurried = replace(GOOD, pace=replace(GOOD.pace, gap_s=0))

    assert [problem.where for problem in check_bench(hurried)] == ["Seconds between two acts"]


def test_all_faults_are_named_at_once() -> None:
    assert len(check_bench(replace(GOOD, cups=0, people=0, tolerance_s=500))) == 3


def test_a_recipe_gives_its_steep_and_its_pace() -> None:
    kettles = Kettles(count=1, pours=6, reheat_s=120)

    made = bench_from(STANDARD, cups=30, people=2, kettles=kettles, skim_s=4, gap_s=1)

    assert made.pace == Pace(pour_s=7, break_s=7, skim_s=4, gap_s=1)
    assert (made.cups, made.people, made.steep_s, made.kettles) == (30, 2, 240, kettles)


def test_as_many_can_pour_as_have_a_kettle() -> None:
    assert bench(9, people=3, kettles=2).hands == 2
    assert bench(9, people=1, kettles=2).hands == 1
