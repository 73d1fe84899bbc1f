import numpy as np
import pytest

from crustbreak.numerics.long_item import LONG, LongItem, add_up, solve_long


def rows_of(seed: int = 9, rows: int = 2 * LONG) -> dict[str, np.ndarray]:
    """Give many rows of one item: four raters, three batches, bowls of two numbers."""
    rng = np.random.default_rng(seed)
    rater, batch = rng.integers(0, 4, rows), rng.integers(0, 3, rows)
    return {
        "same_batch": np.equal.outer(batch, batch).astype(float),
        "same_rater": np.equal.outer(rater, rater).astype(float),
        "units": rng.choice([1.0, 5.0], rows),
        "values": rng.standard_normal(rows),
        "design": rng.integers(0, 2, (rows, 6)).astype(float),
    }


def test_the_sums_say_what_the_rows_written_out_say() -> None:
    # Oracle: the covariance of the rows by its definition, and its inverse and determinant.
    rows = rows_of()
    names = ("item", "batch", "private", "own", "unit")
    variances = {name: np.array([0.4, 1.7]) * (1 + nth) for nth, name in enumerate(names)}

    item = add_up(**rows)
    precision, pull, loss = solve_long(item, variances)

    assert isinstance(item, LongItem)
    assert (item.blocks, item.rows.sum()) == (1 + 3 + 4, 2 * LONG)
    for nth in range(2):
        at = {name: each[nth] for name, each in variances.items()}
        within = at["item"] + at["batch"] * rows["same_batch"] + at["private"] * rows["same_rater"]
        within += np.diag(at["own"] + at["unit"] / rows["units"])
        inverse = np.linalg.inv(within)
        design, values = rows["design"], rows["values"]
        assert precision[nth] == pytest.approx(design.T @ inverse @ design, rel=1e-9, abs=1e-9)
        assert pull[nth] == pytest.approx(design.T @ inverse @ values, rel=1e-9, abs=1e-9)
        expected = values @ inverse @ values + np.linalg.slogdet(within)[1]
        assert loss[nth] == pytest.approx(expected, rel=1e-9)


def test_the_order_of_the_rows_does_not_matter() -> None:
    rows = rows_of()
    back = {name: each[::-1] for name, each in rows.items()}
    back |= {name: rows[name][::-1, ::-1] for name in ("same_batch", "same_rater")}
    variances = dict.fromkeys(("item", "batch", "private", "own", "unit"), np.array([0.8]))

    one, other = (solve_long(add_up(**each), variances) for each in (rows, back))

    for found, expected in zip(one, other, strict=True):
        assert found == pytest.approx(expected, rel=1e-9, abs=1e-9)
