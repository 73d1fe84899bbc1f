"""How long a mixed model takes, beside the textbook's form of it and beside a peer.

*Textbook* is the criterion with every matrix written out: the covariance of all rows, n x n, its
Cholesky factor, and a search without slopes over the same ratios. It is run where n x n is
bearable. *Peer* is the general-purpose package mixedlm, whose data files the tests read; it needs
pandas, which we do not install, so it takes part only where both can be imported. Each time is
the middle of a few fits in one process, in turns; what counts is the ratio. The deviations are
compared before any time is shown.

Run it by hand: OPENBLAS_NUM_THREADS=1 python benchmarks/mixed_model.py. It takes about a minute.
"""

import sys
from collections.abc import Callable, Mapping
from importlib.util import find_spec
from pathlib import Path
from statistics import median
from time import perf_counter

import numpy as np
from scipy import linalg, optimize

ROOT = Path(__file__).parents[1]
sys.path.append(str(ROOT / "tests" / "oracles"))

from crossed_tables import rows_of  # noqa: E402
from crustbreak.numerics.mixed_model import fit_mixed_model  # noqa: E402

RUNS = 3
ROWS_BEARABLE = 800
ALIKE = 2e-3

Table = tuple[np.ndarray, Mapping[str, np.ndarray]]
Fit = Callable[[Table], list[float]]


def table_of(name: str) -> Table:
    rows = rows_of(name)
    return rows.response, {factor: np.array(labels) for factor, labels in rows.factors.items()}


def invented(rows: int, sizes: tuple[int, ...]) -> Table:
    """Give rows with levels drawn at random, and deviations of about 1."""
    draw = np.random.default_rng(7)
    marks = 83 + draw.normal(size=rows)
    factors = {f"f{no}": draw.integers(0, size, rows) for no, size in enumerate(sizes)}
    for at, size in zip(factors.values(), sizes, strict=True):
        marks += draw.normal(size=size)[at]
    return marks, factors


def ours(table: Table) -> list[float]:
    fit = fit_mixed_model(*table)
    return [*(each.deviation for each in fit.factors), fit.residual]


def textbook(table: Table) -> list[float]:
    marks, factors = table
    together = []
    for labels in factors.values():
        at = np.unique(labels, return_inverse=True)[1]
        together.append((at[:, np.newaxis] == at).astype(float))
    ones, freedom = np.ones(marks.size), marks.size - 1

    def criterion(ratios: np.ndarray) -> tuple[float, float]:
        v = np.eye(marks.size)
        v += sum(t**2 * same for t, same in zip(ratios, together, strict=True))
        factor = linalg.cho_factor(v, lower=True)
        inside = ones @ linalg.cho_solve(factor, ones)
        rest = marks - (ones @ linalg.cho_solve(factor, marks)) / inside
        left = rest @ linalg.cho_solve(factor, rest)
        size = 2 * np.log(np.diag(factor[0])).sum() + np.log(inside)
        return size + freedom * (1 + np.log(2 * np.pi * left / freedom)), left

    found = optimize.minimize(
        lambda ratios: criterion(ratios)[0],
        np.ones(len(together)),
        method="Nelder-Mead",
        bounds=[(0, None)] * len(together),
        options={"xatol": 1e-5, "fatol": 1e-7},
    )
    residual = np.sqrt(criterion(found.x)[1] / freedom)
    return [*(found.x * residual), residual]


def peer(table: Table) -> list[float]:
    import pandas as pd
    from mixedlm import lmer

    marks, factors = table
    dataset = pd.DataFrame(
        {"y": marks} | {f"f{no}": at.astype(str) for no, at in enumerate(factors.values())}
    )
    effects = " + ".join(f"(1 | f{no})" for no in range(len(factors)))
    fit = lmer(f"y ~ 1 + {effects}", dataset)
    return [*(float(fit.theta[no] * fit.sigma) for no in range(len(factors))), float(fit.sigma)]


def seconds(fit: Fit, table: Table) -> float:
    start = perf_counter()
    fit(table)
    return perf_counter() - start


def compare(name: str, table: Table) -> None:
    others: dict[str, Fit] = {}
    if table[0].size <= ROWS_BEARABLE:
        others["textbook"] = textbook
    if find_spec("pandas") and find_spec("mixedlm"):
        others["peer"] = peer
    found = ours(table)
    for other, fit in others.items():
        if not np.allclose(fit(table), found, rtol=ALIKE, atol=ALIKE):
            sys.stdout.write(f"{name}: {other} finds {fit(table)}, we {found}\n")
    times = [
        {"ours": seconds(ours, table)} | {no: seconds(fit, table) for no, fit in others.items()}
        for _ in range(RUNS)
    ]
    own = median(run["ours"] for run in times)
    said = [f"{name:<28} {table[0].size:>6} rows  ours {own * 1000:8.1f} ms"]
    said += [f"{no} x {median(run[no] for run in times) / own:.1f}" for no in others]
    sys.stdout.write("   ".join(said) + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    compare("Penicillin", table_of("penicillin"))
    compare("Pastes", table_of("pastes"))
    compare("a table, 12 x 6", invented(72, (12, 6)))
    compare("a year, 200 x 8 x 40", invented(800, (200, 8, 40)))
    compare("2,000 rows, 40 x 12 x 40", invented(2000, (40, 12, 40)))
    compare("InstEval, three factors", table_of("insteval_300_three"))
    compare("InstEval, 2,000 raters", table_of("insteval_2000"))
