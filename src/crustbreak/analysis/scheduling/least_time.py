"""The least time that the work at a table can take, by whatever schedule.

Each act holds its person for its length and the gap after it, so these stretches never overlap
and all lie before the finish plus one gap. What follows from that is a bound, not a schedule: it
proves that something cannot be done, never that it can.
"""

from collections.abc import Iterator
from math import ceil

from crustbreak.analysis.scheduling.bench import Bench


def least_finish_s(bench: Bench, *, tolerance_s: int) -> int:
    """Return a time before which no schedule is finished.

    The largest of: all work shared out evenly; for each cup, its earliest pour, the steep, and
    the breaks and skims of it and all later cups shared out evenly; the first steep, and all that
    can only be done after it; the last cup on its own.

    Args:     tolerance_s: how much shorter than asked for a steep may be, s.
    Returns:  s from the first pour.
    Valid for what `check_bench` passes.
    Source:   counting; tests compare it with the exact answer to small tables.

    >>> from crustbreak.analysis.scheduling.bench import Kettles, Pace
    >>> bench = Bench(cups=40, people=1, pace=Pace(pour_s=8, break_s=8, skim_s=5),
    ...     kettles=Kettles(count=1, pours=40, reheat_s=0))
    >>> least_finish_s(bench, tolerance_s=0)
    1078
    """
    pace, people = bench.pace, bench.people
    pour_s = pace.pour_s + pace.gap_s
    after_s = pace.break_s + pace.skim_s + 2 * pace.gap_s
    steep_s = bench.steep_s - tolerance_s
    pours = earliest_pours_s(bench)
    shared_s = [bench.cups * (pour_s + after_s) / people]
    shared_s += [
        at_s + steep_s + (bench.cups - no) * after_s / people for no, at_s in enumerate(pours)
    ]
    shared_s += [min(_after_first_break_s(bench, pours, tolerance_s=tolerance_s))]
    alone_s = pours[-1] + steep_s + after_s
    return max(ceil(max(shared_s)), alone_s) - pace.gap_s


def _after_first_break_s(
    bench: Bench, pours: tuple[int, ...], *, tolerance_s: int
) -> Iterator[float]:
    """Return the finish for each moment at which the first break may lie.

    What is poured before it is done by then; the rest waits with breaks and skims. Between two
    pours an earlier break is the better one, so that only the first moment counts, and those right
    after a pour: a break a second later may let one cup more be poured before it.
    """
    pace = bench.pace
    pour_s = pace.pour_s + pace.gap_s
    work_s = bench.cups * (pour_s + pace.break_s + pace.skim_s + 2 * pace.gap_s)
    soonest_s, latest_s = bench.steep_s - tolerance_s, bench.steep_s + tolerance_s
    for break_s in {soonest_s, *(at_s + 1 for at_s in pours if soonest_s <= at_s < latest_s)}:
        poured = sum(at_s < break_s for at_s in pours)
        early_s = min(bench.hands * break_s, pour_s * poured)
        yield break_s + (work_s - early_s) / bench.people


def earliest_pours_s(bench: Bench) -> tuple[int, ...]:
    """Return for each cup a time before which it cannot be poured, for hands and kettles alone.

    S.
    """
    pace, kettles = bench.pace, bench.kettles
    pour_s = pace.pour_s + pace.gap_s
    wait_s = max(0, kettles.reheat_s - pace.gap_s)
    of_one = [no * pour_s + no // kettles.pours * wait_s for no in range(bench.cups)]
    by_kettle = sorted(of_one * kettles.count)[: bench.cups]
    return tuple(max(at_s, no // bench.hands * pour_s) for no, at_s in enumerate(by_kettle))
