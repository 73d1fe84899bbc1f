"""How long the ways to deal bowls take, beside a general library that counts them too.

*Peer* is scipy.stats.permutation_test, which counts every way where there are few enough; it deals
one group of units out, and gives no interval, so it takes part in one sitting of one taster. Its
chance is compared before any time is shown. The whole evidence of a table is put beside it, for
what a page waits for. Each time is the middle of several in one process, in turns; what counts is
the ratio.

Run it by hand: OPENBLAS_NUM_THREADS=1 python benchmarks/permutation.py. It takes some seconds.
"""

import sys
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter

import numpy as np
from scipy.stats import permutation_test

ROOT = Path(__file__).parents[1]
sys.path.append(str(ROOT / "tests" / "given"))

from bowls import table_of  # noqa: E402
from crustbreak.numerics.permutation import Stratum, compare_groups  # noqa: E402
from crustbreak.questions.match.evidence import match_evidence  # noqa: E402

RUNS = 15


def drawn(bowls: int) -> tuple[np.ndarray, np.ndarray]:
    chance = np.random.default_rng(bowls)
    marks = np.clip(np.round(2 * (1.2 + 0.8 * chance.standard_normal((2, bowls)))) / 2, 0, 5)
    marks[1] = np.minimum(marks[1] + 1.0, 5)
    return marks[0], marks[1]


def peer(control: np.ndarray, compared: np.ndarray) -> float:
    found = permutation_test(
        (compared, control),
        lambda one, other, axis: one.mean(axis=axis) - other.mean(axis=axis),
        vectorized=True,
        alternative="greater",
        n_resamples=np.inf,
    )
    return float(found.pvalue)


def ours(control: np.ndarray, compared: np.ndarray) -> float:
    values = np.concatenate([control, compared])[None]
    treated = np.repeat([False, True], [len(control), len(compared)])
    found = compare_groups([Stratum(values=values, treated=treated)], level=0.05)
    assert found is not None
    return found.chance


def whole(control: np.ndarray, compared: np.ndarray) -> float:
    table = table_of({"Odile": (control.tolist(), compared.tolist())})
    return match_evidence(table).chance or 0.0


def seconds(
    work: Callable[[np.ndarray, np.ndarray], float], marks: tuple[np.ndarray, ...]
) -> float:
    start = perf_counter()
    work(*marks)
    return perf_counter() - start


def compare(bowls: int) -> None:
    marks = drawn(bowls)
    if not np.isclose(peer(*marks), ours(*marks)):
        sys.stdout.write(f"{bowls} bowls: peer finds {peer(*marks)}, we {ours(*marks)}\n")
    works = {"ours": ours, "peer": peer, "whole evidence": whole}
    times = [{name: seconds(work, marks) for name, work in works.items()} for _ in range(RUNS)]
    own = median(run["ours"] for run in times)
    said = [f"{bowls} + {bowls} bowls  ours {own * 1000:7.2f} ms"]
    said += [
        f"{name} x {median(run[name] for run in times) / own:.1f}"
        for name in works
        if name != "ours"
    ]
    sys.stdout.write("   ".join(said) + "\n")


if __name__ == "__main__":
    for count in (3, 4, 5, 6):
        compare(count)
