"""What opening a page costs a lab of years, beside the same page in a lab of ten tables.

Labs with 10, 100 and 1,000 decided tables, tasted alike; in each the same tables in every state.
Each page was opened before and nothing has changed since, but for the two that say otherwise:
statements asked of the lab's files, the middle of a few runs in the app's own process, and how
many times as long as in the first lab. *First of all* is the first since the lab was opened, with
all earlier tables to be read; *after a change* is the first after the cut-off was moved.

Run it by hand: OPENBLAS_NUM_THREADS=1 python benchmarks/pages.py [TABLES ...]. It takes about two
minutes.
"""

import sys
from collections.abc import Iterable
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

ROOT = Path(__file__).parents[1]
sys.path += [str(ROOT / "tests" / "acting")]

from lab_of_years import PAGES, Grown, grown_lab, stir  # noqa: E402
from many_tables import counted_statements  # noqa: E402

SIZES = (10, 100, 1000)
RUNS = 15
CHANGES = 5


@dataclass(frozen=True)
class Cost:
    """What a page costs: statements, and ms."""

    statements: int
    ms: float


def opened(grown: Grown, path: str) -> Cost:
    """Open a page."""
    with counted_statements() as asked:
        start = perf_counter()
        answer = grown.host.get(path)
        taken_ms = (perf_counter() - start) * 1000
    if answer.status_code != 200:
        sys.exit(f"{path}: {answer.status_code}")
    return Cost(len(asked), taken_ms)


def opened_again(labs: list[Grown], page: str) -> list[Cost]:
    """Open a page several times in each lab, in turns: whatever else runs falls on all."""
    for grown in labs:
        opened(grown, grown.address(page))
    runs = [[opened(grown, grown.address(page)) for grown in labs] for _ in range(RUNS)]
    return [middle(each) for each in zip(*runs, strict=True)]


def after_changes(labs: list[Grown]) -> list[Cost]:
    """Open the evidence several times, each time after something else was changed there."""
    runs = []
    for _ in range(CHANGES):
        for grown in labs:
            stir(grown)
        runs.append([opened(grown, grown.address("evidence")) for grown in labs])
    return [middle(each) for each in zip(*runs, strict=True)]


def middle(costs: Iterable[Cost]) -> Cost:
    every = list(costs)
    return Cost(every[-1].statements, median(cost.ms for cost in every))


def main(sizes: tuple[int, ...]) -> None:
    with ExitStack() as open_labs:
        folder = Path(open_labs.enter_context(TemporaryDirectory()))
        labs = [open_labs.enter_context(grown_lab(folder / f"{size}", size)) for size in sizes]
        found = {"first evidence of all": [opened(lab, lab.address("evidence")) for lab in labs]}
        found |= {page: opened_again(labs, page) for page in PAGES}
        found["first evidence after a change"] = after_changes(labs)
    sys.stdout.write(f"{'':<32}" + "".join(f"{size:>26,}" for size in sizes) + "\n")
    for name, costs in found.items():
        cells = (
            f"{cost.statements:>7} {cost.ms:>9.1f} ms {cost.ms / costs[0].ms:4.1f} x"
            for cost in costs
        )
        sys.stdout.write(f"{name:<32}" + "".join(cells) + "\n")


if __name__ == "__main__":
    main(tuple(int(each) for each in sys.argv[1:]) or SIZES)
