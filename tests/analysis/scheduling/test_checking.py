"""Each rule is broken once by hand, and the checker names it."""

from dataclasses import replace
from typing import Any

import pytest

from crustbreak.analysis.scheduling.bench import Bench, Kettles, Pace
from crustbreak.analysis.scheduling.checking import check_schedule
from crustbreak.analysis.scheduling.schedule import Act, Fill, Schedule, ScheduledCup, Work

BENCH = Bench(
    cups=3,
    people=2,
    pace=Pace(pour_s=8, break_s=6, skim_s=5, gap_s=2),
    kettles=Kettles(count=2, pours=2, reheat_s=50),
    tolerance_s=10,
    within_s=400,
)


def cup(no: int, *, pour_s: int, break_s: int, skim_s: int, taste_s: int) -> ScheduledCup:
    return ScheduledCup(
        pour=Act(work=Work.POUR, cup=no, person=1, from_s=pour_s, until_s=pour_s + 8),
        break_=Act(work=Work.BREAK, cup=no, person=1, from_s=break_s, until_s=break_s + 6),
        skim=Act(work=Work.SKIM, cup=no, person=2, from_s=skim_s, until_s=skim_s + 5),
        taste_s=taste_s,
    )


# Written by hand: one pours and breaks, the other skims; the third cup needs a second fill.
GOOD = Schedule(
    bench=BENCH,
    cups=(
        cup(1, pour_s=0, break_s=240, skim_s=248, taste_s=720),
        cup(2, pour_s=10, break_s=250, skim_s=258, taste_s=730),
        cup(3, pour_s=68, break_s=308, skim_s=316, taste_s=788),
    ),
    fills=(Fill(kettle=1, cups=(1, 2)), Fill(kettle=1, cups=(3,))),
)


def changed(no: int, **parts: Any) -> Schedule:
    cups = list(GOOD.cups)
    cups[no - 1] = replace(cups[no - 1], **parts)
    return replace(GOOD, cups=tuple(cups))


def moved(no: int, part: str, at_s: int, *, person: int | None = None) -> Schedule:
    act = getattr(GOOD.cups[no - 1], part)
    length_s = act.until_s - act.from_s
    person = person or act.person
    return changed(no, **{part: replace(act, person=person, from_s=at_s, until_s=at_s + length_s)})


def rules(schedule: Schedule) -> list[str]:
    return [problem.rule for problem in check_schedule(schedule)]


def test_a_schedule_worked_out_by_hand_has_no_fault() -> None:
    assert check_schedule(GOOD) == ()


@pytest.mark.parametrize(
    ("faulty", "rule"),
    [
        (replace(GOOD, bench=replace(BENCH, cups=4)), "each of 4 cups once, in order"),
        (moved(3, "skim", 315, person=3), "done by one of 2"),
        (
            replace(moved(3, "pour", 68, person=2), bench=replace(BENCH, pourers=1)),
            "done by one of 1",
        ),
        (changed(3, skim=replace(GOOD.cups[2].skim, until_s=320)), "takes 5 s"),
        (moved(1, "pour", -1), "takes 8 s, from the first pour on"),
        # One second into the gap after the break of the first cup.
        (moved(2, "break_", 247), "one act at a time, and 2 s between two"),
        (moved(1, "skim", 258), "one act at a time, and 2 s between two"),
        (moved(3, "skim", 315), "break, and 2 s later skim"),
        (changed(2, taste_s=729), "tasted when skimmed and 720 s after its pour"),
        (moved(3, "break_", 297), "a steep of 240 s, off by 10 s at most"),
        (moved(1, "break_", 229), "a steep of 240 s, off by 10 s at most"),
        (replace(GOOD, fills=GOOD.fills[:1]), "each cup is poured from one fill"),
        (
            replace(GOOD, fills=(*GOOD.fills, Fill(kettle=2, cups=(3,)))),
            "each cup is poured from one fill",
        ),
        (
            replace(GOOD, fills=(GOOD.fills[0], Fill(kettle=3, cups=(3,)))),
            "one of 2",
        ),
        (replace(GOOD, fills=(Fill(kettle=1, cups=(1, 2, 3)),)), "2 cups a fill at most"),
        # One second too soon after the last pour of the fill before.
        (moved(3, "pour", 67), "50 s to be filled and hot again"),
        # Somebody else pours, but from the same kettle.
        (moved(2, "pour", 8, person=2), "2 s between two pours"),
        (replace(GOOD, bench=replace(BENCH, within_s=320)), "all cups skimmed by 320 s"),
    ],
)
def test_each_broken_rule_is_named(faulty: Schedule, rule: str) -> None:
    found = rules(faulty)

    assert any(rule in each for each in found), found


def test_pours_out_of_order_are_named() -> None:
    other_kettle = (Fill(kettle=1, cups=(1, 2)), Fill(kettle=2, cups=(3,)))
    early = replace(moved(3, "pour", 5, person=2), fills=other_kettle)

    assert "cups are poured in their order" in rules(early)


def test_a_second_kettle_need_not_wait_for_the_first() -> None:
    other_kettle = (Fill(kettle=1, cups=(1, 2)), Fill(kettle=2, cups=(3,)))
    soon = replace(moved(3, "pour", 67), fills=other_kettle)

    assert check_schedule(soon) == ()


def test_a_fault_says_who_does_what_when() -> None:
    (problem,) = check_schedule(moved(2, "skim", 250))[:1]

    assert problem.where == "Person 2"
    assert problem.found == ("skim of cup 1 from 248 to 253 s and skim of cup 2 from 250 to 255 s")
