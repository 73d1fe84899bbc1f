"""That our tables are the ones the other program had, before anything is measured by them."""

from math import isclose

import numpy as np
import pytest

from crossed_tables import STUDIES, rows_of, said_of


@pytest.mark.parametrize("name", STUDIES)
def test_rows_and_their_sum_are_those_of_the_other_program(name: str) -> None:
    rows, said = rows_of(name), said_of(name)

    assert len(rows.response) == said["rows"]
    assert isclose(rows.response.sum(), said["sum"], rel_tol=1e-12)
    assert rows.design.shape == (said["rows"], len(np.atleast_1d(said["fixed"])))


@pytest.mark.parametrize("name", STUDIES)
def test_every_factor_has_as_many_levels_as_there(name: str) -> None:
    rows, said = rows_of(name), said_of(name)

    sizes = {factor: len(set(labels)) for factor, labels in rows.factors.items()}

    assert sizes == {factor: found["size"] for factor, found in said["factors"].items()}


def test_cells_are_missing_where_students_choose_their_lecturers() -> None:
    """Or the large table would only try what a full one tries."""
    factors = rows_of("insteval_2000").factors

    pairs = set(zip(factors["s"], factors["d"], strict=True))

    assert len(pairs) < 0.05 * len(set(factors["s"])) * len(set(factors["d"]))
