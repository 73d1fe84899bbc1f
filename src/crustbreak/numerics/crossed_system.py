"""The linear algebra of a mixed model with crossed factors, at given ratios of deviations.

A row is y = X beta + sum over factors f of b_f[level of the row] + e, with b_f ~ N(0, t_f^2 s^2)
and e ~ N(0, s^2). The ratios t_f are given here; the criterion, its slopes and what is known
of the levels follow. Written with b_f = t_f u_f, the equations for all u and beta have a
diagonal block for one factor, since no row has two levels of it. The largest factor is
eliminated through that block; the others and the fixed effects remain as one dense system.
Source: [S15], sections 3.2 to 3.4 for the equations and the criterion, there with a sparse
Cholesky factor of all factors together.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
from scipy import linalg, sparse

Floats = npt.NDArray[np.float64]
Codes = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CrossedSystem:
    """Sums over the rows that do not change with the ratios.

    response:    shape (n,), with the least squares fit taken out so that little cancels.
    basis:       shape (n, p), orthonormal columns that span the fixed effects.
    codes:       one array (n,) a factor, the row's level as 0, 1, 2 ...; the largest first.
    sizes:       the number of levels of each factor.
    counts:      shape (sizes[0],), rows a level of the first factor.
    joint:       sparse, shape (sizes[0], m): level of the first factor against the m columns of
                 the dense part, which are the other factors' levels and then the basis.
    inner:       shape (m, m), the columns of the dense part against each other.
    first_sums:  shape (sizes[0],), the response summed by level of the first factor.
    inner_sums:  shape (m,), the response summed by column of the dense part.
    """

    response: Floats
    basis: Floats
    codes: tuple[Codes, ...]
    sizes: tuple[int, ...]
    counts: Floats
    joint: Any
    inner: Floats
    first_sums: Floats
    inner_sums: Floats

    @property
    def freedom(self) -> int:
        """Return the rows less the fixed effects."""
        rows, columns = self.basis.shape
        return int(rows - columns)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Solved:
    """The system solved at given ratios.

    ratios:     shape (k,), deviation of each factor over the residual deviation.
    criterion:  -2 log restricted likelihood, for the basis.
    variance:   residual variance, response's unit squared; the best one unless it was given.
    spherical:  u of each factor, shape (sizes[f],), response's unit.
    fixed:      coefficients of the basis, shape (p,).
    factor:     lower Cholesky factor of the dense part, shape (m, m).
    """

    ratios: Floats
    criterion: float
    variance: float
    spherical: tuple[Floats, ...]
    fixed: Floats
    factor: Floats


def crossed_system(
    response: Floats, basis: Floats, codes: tuple[Codes, ...], sizes: tuple[int, ...]
) -> CrossedSystem:
    """Gather the sums over the rows, by index and once for all ratios.

    Args:     response: shape (n,); basis: shape (n, p), orthonormal; codes: an array (n,) a
              factor, at least one and the largest first; sizes: their numbers of levels.
    Returns:  the system. The largest thing in it is dense, m x m, for all levels but the first
              factor's.
    Valid for codes that name every level at least once.
    Source:   [S15], eq. 17, in blocks.
    """
    first, *others = (_indicators(at, size) for at, size in zip(codes, sizes, strict=True))
    dense_part = sparse.hstack([*others, sparse.csr_array(basis)], format="csr")
    return CrossedSystem(
        response=response,
        basis=basis,
        codes=codes,
        sizes=sizes,
        counts=np.bincount(codes[0], minlength=sizes[0]).astype(np.float64),
        joint=(first.T @ dense_part).tocsr(),
        inner=(dense_part.T @ dense_part).toarray(),
        first_sums=first.T @ response,
        inner_sums=dense_part.T @ response,
    )


def solve(system: CrossedSystem, ratios: Floats, variance: float | None = None) -> Solved:
    """Solve for all effects and give the REML criterion.

    Question answered: how likely are these rows if the factors' deviations stand in these
    ratios to the residual deviation, with the fixed effects integrated out.

    Formula: d = log|M| + (n - p) log(2 pi s^2) + left / s^2, M the matrix of the equations for
    u and the basis coefficients, left the penalised sum of squares. The best residual variance
    s^2 is left / (n - p).

    Args:     system: the sums; ratios: shape (k,), 0 or more, in the order of the factors;
              variance: s^2 where it is not to be estimated.
    Returns:  criterion and effects.
    Valid while something is left: a response that the basis fits exactly has no best variance.
    Source:   [S15], eq. 40 to 42.
    """
    share, scales = _share(system, ratios), _scales(system, ratios)
    factor = _dense_factor(system, share, scales)
    sums = scales * (system.inner_sums - system.joint.T @ (share * system.first_sums))
    inner = linalg.cho_solve((factor, True), sums, check_finite=False)
    # share / ratio, written so that a ratio of zero needs no case of its own.
    first = ratios[0] * (system.first_sums - system.joint @ (scales * inner))
    first /= ratios[0] ** 2 * system.counts + 1
    cuts = np.cumsum(system.sizes[1:])
    *others, fixed = np.split(inner, cuts)
    spherical = (first, *others)
    left = _left(system, ratios, spherical, fixed)
    taken = left / system.freedom if variance is None else variance
    size = _log_size(system, ratios, factor)
    return Solved(
        ratios=ratios,
        criterion=size + system.freedom * float(np.log(2 * np.pi * taken)) + left / taken,
        variance=taken,
        spherical=spherical,
        fixed=fixed,
        factor=factor,
    )


def slopes(system: CrossedSystem, solved: Solved) -> Floats:
    """Return the slope of the criterion by the logarithm of each squared ratio.

    Formula: with V = I + sum t_f^2 Z_f Z_f' and P its inverse with the fixed effects taken out,
    t_f^2 (tr(Z_f' P Z_f) - |Z_f' P y|^2 / s^2), where t_f^2 tr(Z_f' P Z_f) is the number of
    levels less the trace of their block of the inverse of M.

    Args:     system: the sums; solved: the solution at the ratios asked about.
    Returns:  shape (k,), no unit.
    Valid for ratios that are not so small that the difference of levels and trace is rounding:
    a squared ratio times rows a level of 1e-7 leaves nine digits. At zero the slope is zero.
    Source:   differentiation of [S15], eq. 42; checked against differences of the criterion.
    """
    lower = _lower_inverse(solved.factor)
    traces = [_first_trace(system, solved.ratios, lower)]
    cuts = np.cumsum(system.sizes[1:])
    traces += [part.sum() for part in np.split(np.diag(lower), cuts)[:-1]]
    pulls = np.array([u @ u for u in solved.spherical])
    found: Floats = np.array(system.sizes) - np.array(traces)
    return found - pulls / solved.variance


def conditional_variances(system: CrossedSystem, solved: Solved) -> tuple[Floats, ...]:
    """Return the variance of each level's effect, rows and fixed effects being given.

    Question answered: how much could this level still be off, if the deviations and the fixed
    effects were known. It leaves out the doubt about those, so it is too small for few levels.

    Args:     system: the sums; solved: the solution at the ratios that were found.
    Returns:  an array (sizes[f],) a factor, in residual variances; zero at a ratio of zero.
    Valid for any ratios.
    Source:   [S15], eq. 56 to 59.
    """
    inside = solved.factor.shape[0] - solved.fixed.size
    inverse = _inverse(solved.factor[:inside, :inside])
    first = _first_diagonal(system, solved.ratios, inverse)
    others = np.split(np.diag(inverse), np.cumsum(system.sizes[1:]))[:-1]
    squares = solved.ratios**2
    return tuple(t * part for t, part in zip(squares, (first, *others), strict=True))


def fixed_covariance(solved: Solved) -> Floats:
    """Return the covariance of the basis coefficients, in residual variances.

    Args:     solved: the solution at the ratios that were found.
    Returns:  shape (p, p).
    Valid for any ratios; the doubt about the ratios is left out.
    Source:   [S15], eq. 54 and 55.
    """
    inside = solved.factor.shape[0] - solved.fixed.size
    return _inverse(solved.factor[inside:, inside:])


def _indicators(codes: Codes, size: int) -> Any:
    rows = codes.size
    return sparse.csr_array((np.ones(rows), codes, np.arange(rows + 1)), shape=(rows, size))


def _share(system: CrossedSystem, ratios: Floats) -> Floats:
    """Return how much of a level's sum goes into its effect, for the first factor."""
    square: float = ratios[0] ** 2
    return square / (square * system.counts + 1)


def _scales(system: CrossedSystem, ratios: Floats) -> Floats:
    """Return the ratio that each column of the dense part is multiplied by; 1 for the basis."""
    return np.repeat([*ratios[1:], 1.0], [*system.sizes[1:], system.basis.shape[1]])


def _times_rows(matrix: Any, by: Floats) -> Any:
    """Multiply each row of a sparse matrix by its own number."""
    data = matrix.data * np.repeat(by, np.diff(matrix.indptr))
    return sparse.csr_array((data, matrix.indices, matrix.indptr), shape=matrix.shape)


def _dense_factor(system: CrossedSystem, share: Floats, scales: Floats) -> Floats:
    """Eliminate the first factor and give the lower Cholesky factor of what remains."""
    taken = system.joint.T @ _times_rows(system.joint, share)
    dense = system.inner - taken.toarray()
    dense *= scales
    dense *= scales[:, np.newaxis]
    levels = np.arange(sum(system.sizes[1:]))
    dense[levels, levels] += 1
    # By columns, so that LAPACK works in place.
    factor: Floats = linalg.cholesky(dense.T, lower=True, overwrite_a=True, check_finite=False)
    return factor


def _left(
    system: CrossedSystem, ratios: Floats, spherical: tuple[Floats, ...], fixed: Floats
) -> float:
    """Add up squared residuals and squared u: no difference of large sums, so no cancelling."""
    residuals = system.response - system.basis @ fixed
    for ratio, u, at in zip(ratios, spherical, system.codes, strict=True):
        residuals -= ratio * u[at]
    return float(residuals @ residuals + sum(u @ u for u in spherical))


def _log_size(system: CrossedSystem, ratios: Floats, factor: Floats) -> float:
    """Return the logarithm of the determinant of M."""
    first = np.log1p(ratios[0] ** 2 * system.counts).sum()
    return float(first + 2 * np.log(np.diag(factor)).sum())


def _inverse(factor: Floats) -> Floats:
    """Return the inverse of a matrix from its lower Cholesky factor."""
    lower = _lower_inverse(factor)
    inverse: Floats = lower + np.tril(lower, -1).T
    return inverse


def _lower_inverse(factor: Floats) -> Floats:
    """Return the same below and on the diagonal; above it is zero, as in the factor."""
    if factor.size == 0:
        return np.zeros_like(factor)
    lower: Floats = linalg.lapack.dpotri(factor, lower=1)[0]
    return lower


def _first_trace(system: CrossedSystem, ratios: Floats, lower: Floats) -> float:
    """Return the sum of the first factor's part of the diagonal of the whole inverse.

    It is a product of two symmetric matrices, summed, so half of each will do; and where no
    level of the first factor has both columns there is nothing to sum.
    """
    own = 1 / (ratios[0] ** 2 * system.counts + 1)
    reach = (system.joint.T @ _times_rows(system.joint, (ratios[0] * own) ** 2)).tocoo()
    scales = _scales(system, ratios)
    both = scales[reach.row] * scales[reach.col] * reach.data * lower[reach.row, reach.col]
    return float(own.sum() + 2 * both.sum() - both[reach.row == reach.col].sum())


def _first_diagonal(system: CrossedSystem, ratios: Floats, inverse: Floats) -> Floats:
    """Return the first factor's part of the diagonal of the whole inverse.

    The inverse of the dense part may be with or without the basis: its columns come last.
    """
    width = inverse.shape[0]
    own = 1 / (ratios[0] ** 2 * system.counts + 1)
    reach = _times_rows(system.joint[:, :width], ratios[0] * own)
    # Scaling the dense side leaves the sparse one with the pattern of the counts.
    scales = _scales(system, ratios)[:width]
    spread = reach @ (inverse * scales * scales[:, np.newaxis])
    diagonal: Floats = own + np.asarray(reach.multiply(spread).sum(axis=1)).ravel()
    return diagonal
