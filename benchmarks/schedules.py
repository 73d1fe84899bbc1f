"""How quick a schedule is made, and how quick it is to work, beside an exact solver.

*Peer* is the same bench written as a mixed-integer program and solved by SciPy's HiGHS, as in
`tests/oracles/exact_schedules.py`. It is run where it ends in bearable time; beyond that the finish
is set beside the bound below which no schedule lies. *Finish* is ours over the other's, so that
1.000 is the best there is. Both times are the middle of a few runs in one process, in turns. Small
benches are drawn from a fixed seed, with a short steep, so that cups get into each other's way.

Run it by hand: OPENBLAS_NUM_THREADS=1 PYTHONPATH=src python benchmarks/schedules.py. It takes
about two minutes.
"""

import sys
from collections.abc import Callable
from pathlib import Path
from random import Random
from statistics import mean, median
from time import perf_counter

ROOT = Path(__file__).parents[1]
sys.path.append(str(ROOT / "tests" / "oracles"))

from crustbreak.analysis.scheduling.bench import Bench, Kettles, Pace  # noqa: E402
from crustbreak.analysis.scheduling.checking import check_schedule  # noqa: E402
from crustbreak.analysis.scheduling.least_time import least_finish_s  # noqa: E402
from crustbreak.analysis.scheduling.making import quickest_schedule  # noqa: E402
from exact_schedules import exact_finish_s  # noqa: E402

RUNS = 3
SMALL = 12
BEARABLE_S = 60.0


def drawn(cups: int, people: int, draw: Random) -> Bench:
    pour_s, break_s, skim_s = (draw.randint(2, 6) for _ in range(3))
    return Bench(
        cups=cups,
        people=people,
        pace=Pace(pour_s=pour_s, break_s=break_s, skim_s=skim_s, gap_s=1),
        kettles=Kettles(count=1, pours=draw.randint(2, cups), reheat_s=draw.randint(5, 20)),
        steep_s=draw.randint(15, 30),
        within_s=None,
    )


def usual(cups: int, people: int, *, kettles: int = 1, pours: int = 120) -> Bench:
    return Bench(
        cups=cups,
        people=people,
        pace=Pace(pour_s=8, break_s=8, skim_s=5),
        kettles=Kettles(count=kettles, pours=pours, reheat_s=150),
        within_s=None,
    )


def seconds(work: Callable[[], object]) -> float:
    start = perf_counter()
    work()
    return perf_counter() - start


def beside_the_peer(cups: int, people: int, tolerance_s: int) -> None:
    draw = Random(cups * 10 + people)
    ratios, finishes = [], []
    for bench in (drawn(cups, people, draw) for _ in range(SMALL)):
        made = quickest_schedule(bench, tolerance_s=tolerance_s)

        def peer(bench: Bench = bench, latest_s: int = made.finish_s) -> int | None:
            return exact_finish_s(
                bench, tolerance_s=tolerance_s, no_later_than_s=latest_s, seconds=BEARABLE_S
            )

        exact_s = peer()
        if exact_s is None:
            sys.stdout.write(f"{cups} cups: the peer did not end within {BEARABLE_S:.0f} s\n")
            continue
        finishes.append(made.finish_s / exact_s)
        times = [
            (
                seconds(lambda bench=bench: quickest_schedule(bench, tolerance_s=tolerance_s)),
                seconds(peer),
            )
            for _ in range(RUNS)
        ]
        ours_s, peers_s = (median(each) for each in zip(*times, strict=True))
        ratios.append(peers_s / ours_s)
    sys.stdout.write(
        f"{cups} cups, {people} people, +/- {tolerance_s} s   finish x {mean(finishes):.3f}"
        f" (worst {max(finishes):.3f})   peer takes x {median(ratios):.0f}\n"
    )
    sys.stdout.flush()


def beside_the_bound(name: str, bench: Bench) -> None:
    for tolerance_s in (0, 10):
        made = quickest_schedule(bench, tolerance_s=tolerance_s)
        least_s = least_finish_s(bench, tolerance_s=tolerance_s)
        faults = len(check_schedule(made))
        took_s = median(
            seconds(lambda each=tolerance_s: quickest_schedule(bench, tolerance_s=each))
            for _ in range(RUNS)
        )
        sys.stdout.write(
            f"{name:<34} +/- {tolerance_s:>2} s   finish {made.finish_s:>5} s, over the bound"
            f" x {made.finish_s / least_s:.3f}   {took_s * 1000:6.1f} ms   faults {faults}\n"
        )


if __name__ == "__main__":
    for cups, people in ((3, 1), (4, 1), (5, 1), (3, 2), (4, 2)):
        for tolerance_s in (0, 3):
            beside_the_peer(cups, people, tolerance_s)
    beside_the_bound("40 cups, one person", usual(40, 1))
    beside_the_bound("60 cups, two, one kettle", usual(60, 2))
    beside_the_bound("60 cups, two, two kettles", usual(60, 2, kettles=2))
    beside_the_bound("40 cups, one, kettle of 6", usual(40, 1, pours=6))
    beside_the_bound("40 cups, one, two kettles of 6", usual(40, 1, kettles=2, pours=6))
    beside_the_bound("100 cups, four, three kettles of 12", usual(100, 4, kettles=3, pours=12))
