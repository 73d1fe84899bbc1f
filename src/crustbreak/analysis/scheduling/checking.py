"""Prove a schedule, by looking at what it says and at nothing of how it was made."""

from collections import Counter
from collections.abc import Iterator
from itertools import combinations, pairwise

from crustbreak.analysis.scheduling.schedule import Act, Schedule, ScheduledCup, Work
from crustbreak.core.errors import Problem


def check_schedule(schedule: Schedule) -> tuple[Problem, ...]:
    """Name every rule that a schedule breaks, none when it can be worked as written.

    The rules: every cup once and in order; each act by somebody there and as long as it takes;
    nobody at two acts at once, nor without the gap; pour, break, skim, taste in that order; each
    steep within the tolerance; a kettle in one hand at a time, no fill too large, and reheated
    between two fills; all finished in time.
    """
    return (
        *_check_cups(schedule),
        *_check_acts(schedule),
        *_check_people(schedule),
        *_check_order(schedule),
        *_check_steeps(schedule),
        *_check_fills(schedule),
        *_check_kettles(schedule),
        *_check_finish(schedule),
    )


def _acts(cup: ScheduledCup) -> tuple[Act, Act, Act]:
    return cup.pour, cup.break_, cup.skim


def _said(act: Act) -> str:
    return f"{act.work} of cup {act.cup}"


def _check_cups(schedule: Schedule) -> Iterator[Problem]:
    wanted = list(range(1, schedule.bench.cups + 1))
    for work in Work:
        cups = [act.cup for cup in schedule.cups for act in _acts(cup) if act.work is work]
        if cups != wanted:
            yield Problem(
                where=f"Cups to {work}",
                rule=f"each of {len(wanted)} cups once, in order",
                found=", ".join(map(str, cups)) or "none",
                remedy="Give every cup its turn.",
            )
    for one, after in pairwise(schedule.cups):
        if after.pour.from_s < one.pour.from_s:
            yield Problem(
                where=f"Cup {after.pour.cup}",
                rule="cups are poured in their order",
                found=f"poured {one.pour.from_s - after.pour.from_s} s before the cup in front",
                remedy="Pour it later.",
            )


def _check_acts(schedule: Schedule) -> Iterator[Problem]:
    pace, people = schedule.bench.pace, schedule.bench.people
    takes_s = {Work.POUR: pace.pour_s, Work.BREAK: pace.break_s, Work.SKIM: pace.skim_s}
    for act in (act for cup in schedule.cups for act in _acts(cup)):
        among = schedule.bench.who_pour if act.work is Work.POUR else people
        if not 1 <= act.person <= among:
            yield Problem(
                where=_said(act),
                rule=f"done by one of {among}",
                found=f"person {act.person}",
                remedy="Give it to somebody who is there.",
            )
        if act.from_s < 0 or act.until_s != act.from_s + takes_s[act.work]:
            yield Problem(
                where=_said(act),
                rule=f"takes {takes_s[act.work]} s, from the first pour on",
                found=f"from {act.from_s} to {act.until_s} s",
                remedy="Give it the time that it takes.",
            )


def _check_people(schedule: Schedule) -> Iterator[Problem]:
    gap_s = schedule.bench.pace.gap_s
    acts = [act for cup in schedule.cups for act in _acts(cup)]
    for one, other in combinations(acts, 2):
        if one.person == other.person and _closer(one, other, gap_s):
            yield Problem(
                where=f"Person {one.person}",
                rule=f"one act at a time, and {gap_s} s between two",
                found=f"{_said(one)} from {one.from_s} to {one.until_s} s and "
                f"{_said(other)} from {other.from_s} to {other.until_s} s",
                remedy="Move one of them, or give it to somebody else.",
            )


def _closer(one: Act, other: Act, apart_s: int) -> bool:
    return one.from_s < other.until_s + apart_s and other.from_s < one.until_s + apart_s


def _check_order(schedule: Schedule) -> Iterator[Problem]:
    gap_s = schedule.bench.pace.gap_s
    for cup in schedule.cups:
        for before, after in ((cup.pour, cup.break_), (cup.break_, cup.skim)):
            if after.from_s - before.until_s < gap_s:
                yield Problem(
                    where=f"Cup {cup.pour.cup}",
                    rule=f"{before.work}, and {gap_s} s later {after.work}",
                    found=f"{before.work} until {before.until_s} s, {after.work} "
                    f"from {after.from_s} s",
                    remedy=f"Let the {after.work} wait.",
                )
        if cup.taste_s < cup.skim.until_s or cup.taste_s - cup.pour.from_s < schedule.bench.cool_s:
            yield Problem(
                where=f"Cup {cup.pour.cup}",
                rule=f"tasted when skimmed and {schedule.bench.cool_s} s after its pour",
                found=f"tasted at {cup.taste_s} s, poured at {cup.pour.from_s} s, skimmed at "
                f"{cup.skim.until_s} s",
                remedy="Let it cool.",
            )


def _check_steeps(schedule: Schedule) -> Iterator[Problem]:
    wanted_s, tolerance_s = schedule.bench.steep_s, schedule.bench.tolerance_s
    for cup in schedule.cups:
        steeped_s = cup.break_.from_s - cup.pour.from_s
        if not wanted_s - tolerance_s <= steeped_s <= wanted_s + tolerance_s:
            yield Problem(
                where=f"Cup {cup.pour.cup}",
                rule=f"a steep of {wanted_s} s, off by {tolerance_s} s at most",
                found=f"{steeped_s} s",
                remedy="Break it nearer to its time.",
            )


def _check_fills(schedule: Schedule) -> Iterator[Problem]:
    kettles = schedule.bench.kettles
    served = Counter(cup for fill in schedule.fills for cup in fill.cups)
    if served != Counter(cup.pour.cup for cup in schedule.cups):
        yield Problem(
            where="Kettles",
            rule="each cup is poured from one fill",
            found=", ".join(f"cup {cup} from {times}" for cup, times in sorted(served.items())),
            remedy="Pour every cup from one kettle.",
        )
    for fill in schedule.fills:
        if not 1 <= fill.kettle <= kettles.count:
            yield Problem(
                where=f"Kettle {fill.kettle}",
                rule=f"one of {kettles.count}",
                found=f"kettle {fill.kettle}",
                remedy="Pour from a kettle that is there.",
            )
        if len(fill.cups) > kettles.pours:
            yield Problem(
                where=f"Kettle {fill.kettle}",
                rule=f"{kettles.pours} cups a fill at most",
                found=f"{len(fill.cups)} cups from {fill.cups[0]} on",
                remedy="Fill it again before it is empty.",
            )


def _check_kettles(schedule: Schedule) -> Iterator[Problem]:
    bench = schedule.bench
    pours = {cup.pour.cup: cup.pour for cup in schedule.cups}
    poured = [
        (fill.kettle, no, pours[cup])
        for no, fill in enumerate(schedule.fills)
        for cup in fill.cups
        if cup in pours
    ]
    for (kettle, fill, one), (other_kettle, other_fill, other) in combinations(poured, 2):
        apart_s = bench.pace.gap_s
        if fill != other_fill:
            apart_s = max(apart_s, bench.kettles.reheat_s)
        if kettle == other_kettle and _closer(one, other, apart_s):
            what = "between two pours" if fill == other_fill else "to be filled and hot again"
            yield Problem(
                where=f"Kettle {kettle}",
                rule=f"{apart_s} s {what}",
                found=f"{_said(one)} until {one.until_s} s and {_said(other)} from "
                f"{other.from_s} s",
                remedy="Pour later, or from another kettle.",
            )


def _check_finish(schedule: Schedule) -> Iterator[Problem]:
    limit_s = schedule.bench.within_s
    last = max((act for cup in schedule.cups for act in _acts(cup)), key=lambda act: act.until_s)
    if limit_s is not None and last.until_s > limit_s:
        yield Problem(
            where=_said(last),
            rule=f"all cups skimmed by {limit_s} s",
            found=f"until {last.until_s} s",
            remedy="Take fewer cups, more help, or more time.",
        )
