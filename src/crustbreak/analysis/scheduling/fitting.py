"""Plan the work at a table, or say what keeps it from being done in time and what would mend it."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from crustbreak.analysis.scheduling.bench import MOST_KETTLES, Bench, check_bench
from crustbreak.analysis.scheduling.least_time import least_finish_s
from crustbreak.analysis.scheduling.making import quickest_schedule
from crustbreak.analysis.scheduling.schedule import Schedule
from crustbreak.core.errors import Problem, refuse
from crustbreak.core.units import clock
from crustbreak.domain.planning.plan_request import MOST_PEOPLE

# Tried in turn when the bench's own is too tight, s. A wider one is another recipe.
WIDER_S = (15, 20, 30)
MORE_KETTLES = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class ScheduleFix:
    """One change that was tried and does it.

    say:       the change, as a sentence with a verb.
    schedule:  made with it, in time.
    """

    say: str
    schedule: Schedule


@dataclass(frozen=True, slots=True, kw_only=True)
class Misfit:
    """Nothing was found that is finished in time.

    least_s:   whatever is tried takes at least so long, s.
    quickest:  what was found, finished too late.
    fixes:     each on its own does it.
    """

    bench: Bench
    least_s: int
    quickest: Schedule
    fixes: tuple[ScheduleFix, ...]

    @property
    def is_proven(self) -> bool:
        """Whether it cannot be done at all, rather than was not found."""
        return self.bench.within_s is not None and self.least_s > self.bench.within_s

    @property
    def problem(self) -> Problem:
        """Return it in words, with the fixes as the next step."""
        least = f", and nothing takes less than {clock(self.least_s)}" if self.is_proven else ""
        return Problem(
            where="Pouring, breaking and skimming",
            rule=f"all cups skimmed within {clock(self.bench.within_s or 0)} of the first pour",
            found=f"{clock(self.quickest.finish_s)} at the quickest found{least}",
            remedy=" Or: ".join(fix.say for fix in self.fixes) or "Split the table in two.",
        )


def plan_bench(bench: Bench) -> Schedule | Misfit:
    """Plan who pours, breaks and skims what, and when.

    The steep comes first: the smallest largest error of it, in whole seconds up to the tolerance,
    with which all is finished within the bench's time; then the quickest finish found with that.
    The tolerance is spent only where the time asks for it.

    Args:     bench: 1 to 4 people, 1 to 120 cups.
    Returns:  a schedule, or why there is none and what would mend it.
    Raises:   Unacceptable, with all faults of the bench.

    >>> from crustbreak.analysis.scheduling.bench import Kettles, Pace
    >>> plan = plan_bench(Bench(cups=40, people=1, pace=Pace(pour_s=8, break_s=8, skim_s=5),
    ...     kettles=Kettles(count=1, pours=40, reheat_s=0)))
    >>> plan.finish_s, plan.worst_error_s
    (1081, 0)
    """
    refuse("The work at the table", check_bench(bench))
    for tolerance_s in range(bench.tolerance_s + 1):
        found = _in_time(bench, tolerance_s)
        if found:
            return found
    tried = [quickest_schedule(bench, tolerance_s=each) for each in (0, bench.tolerance_s)]
    quickest = min(tried, key=lambda each: each.finish_s)
    return Misfit(
        bench=bench,
        least_s=least_finish_s(bench, tolerance_s=bench.tolerance_s),
        quickest=quickest,
        fixes=tuple(_mends(bench, quickest)),
    )


def _in_time(bench: Bench, tolerance_s: int) -> Schedule | None:
    limit_s = bench.within_s
    if limit_s is None:
        return quickest_schedule(bench, tolerance_s=tolerance_s)
    if least_finish_s(bench, tolerance_s=tolerance_s) > limit_s:
        return None
    found = quickest_schedule(bench, tolerance_s=tolerance_s)
    return found if found.finish_s <= limit_s else None


def _fits(bench: Bench) -> Schedule | None:
    """Try without an error of the steep, and with all that is allowed."""
    return _in_time(bench, 0) or _in_time(bench, bench.tolerance_s)


def _mends(bench: Bench, quickest: Schedule) -> Iterator[ScheduleFix]:
    """Return the smallest change first: what is asked of the table stays where one more will do."""
    hands = tuple(_more_hands(bench))
    yield from (fix for more, fix in hands if more == 1)
    yield from _fewer_cups(bench)
    yield from (fix for more, fix in hands if more > 1)
    yield from _first_that_fits(_wider(bench))
    in_time = replace(bench, within_s=quickest.finish_s)
    yield ScheduleFix(
        say=f"Allow {clock(quickest.finish_s)} until all is skimmed.",
        schedule=replace(quickest, bench=in_time),
    )


def _first_that_fits(changes: Iterator[tuple[str, Bench]]) -> Iterator[ScheduleFix]:
    for say, changed in changes:
        found = _fits(changed)
        if found:
            yield ScheduleFix(say=say, schedule=found)
            return


def _fewer_cups(bench: Bench) -> Iterator[ScheduleFix]:
    """Halve the range in turn: of a table that can be done, the first cups can."""
    fits: Schedule | None = None
    least, most = 0, bench.cups - 1
    while least < most:
        middle = (least + most + 1) // 2
        found = _fits(replace(bench, cups=middle))
        if found:
            least, fits = middle, found
        else:
            most = middle - 1
    if fits:
        yield ScheduleFix(
            say=f"Take {_count(least, 'cup')} instead of {bench.cups}.", schedule=fits
        )


def _more_hands(bench: Bench) -> Iterator[tuple[int, ScheduleFix]]:
    """Return the fewest people and the fewest kettles that do it, or else the fewest of both.

    With each mend: how many more of what it asks for.
    """
    people, kettles = bench.people, bench.kettles
    more_people = range(1, MOST_PEOPLE - people + 1)
    either = [
        *_fewest(
            (more, f"Ask {_helpers(bench, more)}.", replace(bench, people=people + more))
            for more in more_people
        ),
        *_fewest(
            (more, f"Heat {_count(more, 'more kettle')}.", _with_kettles(bench, more))
            for more in range(1, MOST_KETTLES - kettles.count + 1)[:MORE_KETTLES]
        ),
    ]
    yield from either or _fewest(
        (
            # One of each is two changes.
            2 * more,
            f"Heat {_count(more, 'more kettle')} and ask {_helpers(bench, more)}.",
            replace(_with_kettles(bench, more), people=people + more),
        )
        for more in more_people
        if kettles.count + more <= MOST_KETTLES
    )


def _fewest(changes: Iterator[tuple[int, str, Bench]]) -> Iterator[tuple[int, ScheduleFix]]:
    for more, say, changed in changes:
        found = _fits(changed)
        if found:
            yield more, ScheduleFix(say=say, schedule=found)
            return


def _helpers(bench: Bench, more: int) -> str:
    if (bench.people, more) == (1, 1):
        return f"a second person to {'' if bench.pourers else 'pour, '}break and skim"
    return _count(more, "more helper")


def _wider(bench: Bench) -> Iterator[tuple[str, Bench]]:
    for tolerance_s in WIDER_S:
        changed = replace(bench, tolerance_s=tolerance_s)
        if tolerance_s > bench.tolerance_s and not check_bench(changed):
            yield f"Let a steep be off by up to {tolerance_s} s.", changed


def _with_kettles(bench: Bench, more: int) -> Bench:
    return replace(bench, kettles=replace(bench.kettles, count=bench.kettles.count + more))


def _count(number: int, of: str) -> str:
    return f"{number} {of}{'s' if number > 1 else ''}"
