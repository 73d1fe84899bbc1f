"""The sums by index, against the same formulas with every matrix written out in full.

With V = I + sum t^2 Z Z' and P = V^-1 - V^-1 Q (Q' V^-1 Q)^-1 Q' V^-1, the textbook form of the
model needs no trick, and n x n matrices.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
import pytest

from crustbreak.numerics.crossed_system import (
    CrossedSystem,
    Floats,
    Solved,
    conditional_variances,
    crossed_system,
    fixed_covariance,
    slopes,
    solve,
)

RATIOS = [np.array([0.7, 1.4, 0.3]), np.array([0.0, 2.0, 0.1]), np.array([3.0, 0.0, 0.0])]
SIZES = (9, 5, 3)


class Dense(NamedTuple):
    """Everything written out: indicators, V inverse, P, and the criterion."""

    indicators: list[Floats]
    inverse: Floats
    p: Floats
    criterion: float


def rows() -> tuple[Floats, Floats, tuple[npt.NDArray[np.intp], ...]]:
    """Give 40 unequal rows of three factors and two fixed effects; each level is there."""
    draw = np.random.default_rng(20)
    codes = tuple(
        np.concatenate([np.arange(size), draw.integers(0, size, 40 - size)]) for size in SIZES
    )
    basis, _ = np.linalg.qr(np.column_stack([np.ones(40), draw.normal(size=40)]))
    return draw.normal(size=40), basis, codes


def system() -> CrossedSystem:
    response, basis, codes = rows()
    return crossed_system(response, basis, codes, SIZES)


def dense(ratios: Floats) -> Dense:
    response, basis, codes = rows()
    indicators = [np.eye(size)[at] for size, at in zip(SIZES, codes, strict=True)]
    v = np.eye(40) + sum(t**2 * z @ z.T for t, z in zip(ratios, indicators, strict=True))
    inverse = np.linalg.inv(v)
    inside = basis.T @ inverse @ basis
    p = inverse - inverse @ basis @ np.linalg.solve(inside, basis.T @ inverse)
    left = response @ p @ response
    size = np.linalg.slogdet(v)[1] + np.linalg.slogdet(inside)[1]
    criterion = size + 38 * (1 + np.log(2 * np.pi * left / 38))
    return Dense(indicators=indicators, inverse=inverse, p=p, criterion=float(criterion))


def test_freedom_is_rows_less_fixed_effects() -> None:
    assert system().freedom == 40 - 2


@pytest.mark.parametrize("ratios", RATIOS, ids=str)
def test_criterion_is_that_of_the_full_matrices(ratios: Floats) -> None:
    found = solve(system(), ratios)

    assert isinstance(found, Solved)
    assert found.criterion == pytest.approx(dense(ratios).criterion, rel=1e-12)


@pytest.mark.parametrize("ratios", RATIOS, ids=str)
def test_effects_are_those_of_the_full_matrices(ratios: Floats) -> None:
    """The conditional mean of b is t^2 Z' P y, and the best coefficients those of V's weights."""
    response, basis, _ = rows()
    full = dense(ratios)

    found = solve(system(), ratios)

    for t, z, u in zip(ratios, full.indicators, found.spherical, strict=True):
        assert t * u == pytest.approx(t**2 * z.T @ full.p @ response, abs=1e-12)
    weighted = basis.T @ full.inverse
    assert found.fixed == pytest.approx(np.linalg.solve(weighted @ basis, weighted @ response))


@pytest.mark.parametrize("ratios", RATIOS, ids=str)
def test_slopes_are_those_of_the_full_criterion(ratios: Floats) -> None:
    """By differences: a thousandth up and down in the logarithm of each squared ratio."""
    step = 1e-3

    found = slopes(system(), solve(system(), ratios))

    for no, slope in enumerate(found):
        moved = [
            dense(np.where(np.arange(3) == no, ratios * np.exp(by / 2), ratios)).criterion
            for by in (step, -step)
        ]
        assert slope == pytest.approx((moved[0] - moved[1]) / (2 * step), abs=1e-5)


@pytest.mark.parametrize("ratios", RATIOS, ids=str)
def test_conditional_variances_are_those_of_the_full_matrices(ratios: Floats) -> None:
    """Var(b | y) = t^2 I - t^4 Z' V^-1 Z, the rule for a part of a Gaussian vector."""
    full = dense(ratios)

    found = conditional_variances(system(), solve(system(), ratios))

    for t, z, variances in zip(ratios, full.indicators, found, strict=True):
        expected = t**2 - t**4 * np.diag(z.T @ full.inverse @ z)
        assert variances == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("ratios", RATIOS, ids=str)
def test_covariance_of_the_fixed_effects_is_that_of_weighted_least_squares(
    ratios: Floats,
) -> None:
    _, basis, _ = rows()

    found = fixed_covariance(solve(system(), ratios))

    expected = np.linalg.inv(basis.T @ dense(ratios).inverse @ basis)
    assert found == pytest.approx(expected, rel=1e-10, abs=1e-13)


def test_one_factor_needs_no_other() -> None:
    response, basis, codes = rows()

    alone = crossed_system(response, basis, codes[:1], SIZES[:1])

    found = solve(alone, np.array([0.7]))
    expected = dense(np.array([0.7, 0.0, 0.0])).criterion
    assert found.criterion == pytest.approx(expected, rel=1e-12)
