"""Make a schedule, cup by cup, that keeps every rule by the way it is made.

Each cup in turn takes the earliest second at which somebody can pour, a kettle is hot, and
somebody is free to break it when its steep is over; both are taken at once, so no later cup can
break the promise. Pours fall between breaks of their own accord, and when there is no room they
wait for the next wave. There is always room after the last act taken, so this never fails.

A person's time is one whole number with a bit a second, set where an act or its gap lies. All
starts at which an act fits are then found at once, by shifting.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from crustbreak.analysis.scheduling.bench import Bench, Kettles
from crustbreak.analysis.scheduling.least_time import least_finish_s
from crustbreak.analysis.scheduling.schedule import Act, Fill, Schedule, ScheduledCup, Work


@dataclass(frozen=True, slots=True)
class _Way:
    """How to choose where there is a choice.

    lean_s:        which error of the steep is tried first.
    pace_s:        the least time from pour to pour, so as to leave room between them.
    skims_first:   a cup's skim is taken with its pour, and not once all cups have theirs.
    """

    lean_s: int
    pace_s: int
    skims_first: bool


def quickest_schedule(bench: Bench, *, tolerance_s: int) -> Schedule:
    """Return the quickest schedule of a few that keep every steep within a tolerance.

    Not always the quickest of all: `least_finish_s` says how much there is left to gain.

    Args:     bench: as `check_bench` passes. tolerance_s: instead of the bench's own.
    Returns:  the one that is finished first; of those, the one with the least error of steep.
    """
    least_s = least_finish_s(bench, tolerance_s=tolerance_s)
    made = (_Making(bench, tolerance_s, way).schedule() for way in _ways(bench, tolerance_s))
    best = next(made)
    while (best.finish_s, best.worst_error_s) != (least_s, 0):
        other = next(made, None)
        if other is None:
            break
        best = min(best, other, key=_cost)
    return best


def _cost(schedule: Schedule) -> tuple[int, int, int]:
    return schedule.finish_s, schedule.worst_error_s, sum(map(abs, schedule.errors_s))


def _ways(bench: Bench, tolerance_s: int) -> Iterator[_Way]:
    pace = bench.pace
    leans_s = sorted({0, -tolerance_s, tolerance_s}, key=abs)
    # Close together; room for a break between two pours; room for a break and a skim.
    between_s = (0, pace.break_s + pace.gap_s, pace.break_s + pace.skim_s + 2 * pace.gap_s)
    for room_s, lean_s, skims_first in product(between_s, leans_s, (False, True)):
        pace_s = room_s + pace.pour_s + pace.gap_s if room_s else 0
        yield _Way(lean_s, pace_s, skims_first)


class _Hands:
    """Who is free when."""

    def __init__(self, bench: Bench) -> None:
        self._gap_s = bench.pace.gap_s
        self._busy = [0] * bench.people
        self._who_pour = bench.who_pour

    def starts(self, work: Work, lasts_s: int) -> int:
        """Return all seconds at which somebody can begin an act of this length, as bits."""
        anybody = 0
        for no in self._among(work):
            anybody |= _free(self._busy[no], lasts_s + self._gap_s)
        return anybody

    def _among(self, work: Work) -> tuple[int, ...]:
        """Return who can do it: whoever pours is asked for other work last."""
        pourers = tuple(range(self._who_pour))
        others = tuple(range(self._who_pour, len(self._busy)))
        return pourers if work is Work.POUR else others + pourers

    def take(self, work: Work, cup: int, at_s: int, lasts_s: int) -> Act:
        """Return an act to the first who can begin it then."""
        held_s = lasts_s + self._gap_s
        stretch = ((1 << held_s) - 1) << at_s
        person = next(no for no in self._among(work) if not self._busy[no] & stretch)
        self._busy[person] |= stretch
        return Act(work=work, cup=cup, person=person + 1, from_s=at_s, until_s=at_s + lasts_s)


class _Stove:
    """Which kettle is hot when, and how much it holds."""

    def __init__(self, kettles: Kettles, gap_s: int) -> None:
        self._pours = kettles.pours
        self._gap_s = gap_s
        self._reheat_s = max(kettles.reheat_s, gap_s)
        self._fills: list[list[list[int]]] = [[] for _ in range(kettles.count)]
        self._last_s = [-self._reheat_s] * kettles.count

    def ready_s(self) -> int:
        """Return the first second at which a kettle can be poured from."""
        return min(map(self._ready_s, range(len(self._fills))))

    def pour(self, act: Act) -> None:
        """Pour from the kettle that has the least left, so that it is put on again soonest."""
        ready = [no for no in range(len(self._fills)) if self._ready_s(no) <= act.from_s]
        kettle = min(ready, key=lambda no: self._left(no, act.from_s))
        if self._left(kettle, act.from_s) == self._pours:
            self._fills[kettle].append([])
        self._fills[kettle][-1].append(act.cup)
        self._last_s[kettle] = act.until_s

    def fills(self) -> tuple[Fill, ...]:
        return tuple(
            Fill(kettle=no, cups=cups)
            for no, fills in enumerate(self._fills, start=1)
            for cups in self._needed(fills)
        )

    def _needed(self, fills: list[list[int]]) -> list[tuple[int, ...]]:
        """Leave out a filling when the rest of the one before would have done."""
        needed: list[tuple[int, ...]] = []
        for cups in fills:
            if needed and len(needed[-1]) + len(cups) <= self._pours:
                needed[-1] += tuple(cups)
            else:
                needed.append(tuple(cups))
        return needed

    def _left(self, kettle: int, at_s: int) -> int:
        # Whoever waits long enough finds it full and hot again.
        if at_s - self._last_s[kettle] >= self._reheat_s:
            return self._pours
        return self._pours - len(self._fills[kettle][-1])

    def _ready_s(self, kettle: int) -> int:
        fills, last_s = self._fills[kettle], self._last_s[kettle]
        is_empty = not fills or len(fills[-1]) == self._pours
        return last_s + (self._reheat_s if is_empty else self._gap_s)


class _Making:
    """One schedule on its way."""

    def __init__(self, bench: Bench, tolerance_s: int, way: _Way) -> None:
        self._bench = bench
        self._way = way
        self._hands = _Hands(bench)
        self._stove = _Stove(bench.kettles, bench.pace.gap_s)
        # Errors of the steep, the one leant to first.
        errors_s = range(-tolerance_s, tolerance_s + 1)
        self._errors_s = sorted(errors_s, key=lambda each: (abs(each - way.lean_s), abs(each)))

    def schedule(self) -> Schedule:
        bench = self._bench
        poured: list[tuple[Act, Act]] = []
        skims: dict[int, Act] = {}
        last_s = -self._way.pace_s
        for cup in range(1, bench.cups + 1):
            pour, break_ = self._pour_and_break(cup, last_s + self._way.pace_s)
            poured.append((pour, break_))
            last_s = pour.from_s
            if self._way.skims_first:
                skims[cup] = self._skim(break_)
        for _, break_ in sorted(poured, key=lambda acts: acts[1].from_s):
            if break_.cup not in skims:
                skims[break_.cup] = self._skim(break_)
        return Schedule(
            bench=bench,
            cups=tuple(
                ScheduledCup(
                    pour=pour,
                    break_=break_,
                    skim=skims[pour.cup],
                    taste_s=max(pour.from_s + bench.cool_s, skims[pour.cup].until_s),
                )
                for pour, break_ in poured
            ),
            fills=self._stove.fills(),
        )

    def _pour_and_break(self, cup: int, not_before_s: int) -> tuple[Act, Act]:
        pace, steep_s = self._bench.pace, self._bench.steep_s
        breaks = self._hands.starts(Work.BREAK, pace.break_s)
        kept = 0
        for error_s in self._errors_s:
            kept |= breaks >> (steep_s + error_s)
        pours = self._hands.starts(Work.POUR, pace.pour_s) & kept
        at_s = _first(pours, max(not_before_s, self._stove.ready_s(), 0))
        pour = self._hands.take(Work.POUR, cup, at_s, pace.pour_s)
        self._stove.pour(pour)
        due_s = at_s + steep_s
        error_s = next(each for each in self._errors_s if breaks >> (due_s + each) & 1)
        return pour, self._hands.take(Work.BREAK, cup, due_s + error_s, pace.break_s)

    def _skim(self, break_: Act) -> Act:
        pace = self._bench.pace
        at_s = _first(self._hands.starts(Work.SKIM, pace.skim_s), break_.until_s + pace.gap_s)
        return self._hands.take(Work.SKIM, break_.cup, at_s, pace.skim_s)


def _free(busy: int, held_s: int) -> int:
    """Return the seconds from which so many are free, as bits; beyond the last act all are."""
    covered_s = 1
    while covered_s < held_s:
        step_s = min(covered_s, held_s - covered_s)
        busy |= busy >> step_s
        covered_s += step_s
    return ~busy


def _first(bits: int, not_before_s: int) -> int:
    """Return the first bit that is set, from a place on."""
    rest = bits >> not_before_s
    return not_before_s + (rest & -rest).bit_length() - 1
