"""Where spread comes from: a linear mixed model with crossed factors, fitted by REML."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
from scipy import linalg, optimize, sparse

from crustbreak.core.errors import OutOfRange
from crustbreak.numerics.crossed_system import (
    Codes,
    CrossedSystem,
    Floats,
    Solved,
    conditional_variances,
    crossed_system,
    fixed_covariance,
    slopes,
    solve,
)
from crustbreak.numerics.mixed_fit import Concern, FactorFit, FitWarning, MixedFit

# The search runs over log(1 + c), c = rows a level x squared ratio. This is straight in the
# variance near zero, so that a search may come to rest there, and in its logarithm far from it.
LEAST, MOST = 1e-7, float(np.log1p(1e9))
# Below this an estimate is zero: the factor's share in a level's mean is a millionth.
ZERO = 1e-6
START = 1.0
# Slope to end on, a level. Less would be lost in the rounding of a criterion of 100,000.
SLOPE_SOUGHT = 1e-6
# Slope left over, a level: the deviation is then off by a ten thousandth of itself at most.
SLOPE_LEFT = 1e-4
# Of the size of the response: less than this is rounding.
ROUNDING = 1e-12
# Of the deviation of the rows: taken for the residual where the factors leave nothing.
RESIDUAL_TAKEN = 1e-3
# Of its own length: what must be new in a column of the design.
NEW_IN_COLUMN = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Factor:
    name: str
    levels: tuple[str | int, ...]
    codes: Codes

    @property
    def size(self) -> int:
        return len(self.levels)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Design:
    """columns = basis @ triangle; straight and rest: coefficients and what they leave."""

    basis: Floats
    triangle: Floats
    straight: Floats
    rest: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Found:
    """The end of a search: the factors in it, their system, its solution."""

    factors: tuple[_Factor, ...]
    system: CrossedSystem
    solved: Solved
    evaluations: int
    warnings: tuple[FitWarning, ...]


def fit_mixed_model(
    response: npt.ArrayLike,
    factors: Mapping[str, Sequence[str] | Sequence[int] | npt.NDArray[Any]],
    design: npt.ArrayLike | None = None,
    *,
    most_steps: int = 200,
) -> MixedFit:
    """Fit y = X beta + one random effect a factor + error, by restricted maximum likelihood.

    Question answered: how much of the spread goes with each factor (coffees, tasters, tables),
    how much with none of them, and where does each level lie once its estimate is shrunk by as
    much as its few rows deserve. Rows may be missing and unequal in number; factors may be
    crossed, nested, or partly both. Effects and errors are taken as Gaussian and independent,
    with one variance a factor. Not for: a factor of two or three levels whose deviation
    matters (it is hardly known, and the conditional deviations do not say so); errors that
    differ from taster to taster; ranks and yes-or-no answers.

    Args:     response: shape (n,), any unit; a missing cell is a row that is not there.
              factors: name to labels, each shape (n,), words or whole numbers; one or more.
              design: shape (n, p), the fixed effects; a column of ones if not given.
              most_steps: where the search gives up, with a warning; it takes about ten.
    Returns:  the fit, with warnings. A deviation of zero is a result.
    Valid for finite numbers, more rows than columns, and columns that do not depend on each
    other; OutOfRange otherwise. The dense part has the levels of all factors but the largest:
    some thousands of them at most. The search starts in the middle and takes the best place it
    comes to; with about as many effects as rows there may be another.
    Source:   [S15], for model and criterion; checked against the program that comes with it.

    >>> rows = [82.0, 83.0, 84.0, 85.0, 87.0, 88.0]
    >>> fit = fit_mixed_model(rows, {"coffee": ["a", "a", "b", "b", "c", "c"]})
    >>> round(fit.factor("coffee").deviation ** 2, 4), round(fit.residual**2, 4)
    (6.0833, 0.5)
    """
    numbers = _numbers("response", response, 1)
    columns = np.ones((numbers.size, 1)) if design is None else _numbers("design", design, 2)
    known = tuple(_factor(name, labels, numbers.size) for name, labels in factors.items())
    _check_size(numbers, columns, known)
    apart = _apart(columns, numbers)
    held = _held(known, apart.basis)
    if np.abs(apart.rest).max() <= ROUNDING * np.abs(numbers).max():
        return _without_spread(apart, known, held)
    found = _search(apart, _free(known, held), most_steps)
    return _result(apart, known, found, held)


def _numbers(what: str, given: npt.ArrayLike, dimensions: int) -> Floats:
    numbers = np.asarray(given, dtype=np.float64)
    if numbers.ndim != dimensions:
        raise OutOfRange(
            f"The {what} has {numbers.ndim} dimensions instead of {dimensions}.",
            hint="Give one number a row, and for the design one column a fixed effect.",
        )
    if not np.isfinite(numbers).all():
        raise OutOfRange(
            f"The {what} has {np.count_nonzero(~np.isfinite(numbers))} numbers that are not"
            " finite.",
            hint="Leave out the rows of missing cells.",
        )
    return numbers


def _factor(name: str, labels: Sequence[Any] | npt.NDArray[Any], rows: int) -> _Factor:
    given = np.asarray(labels)
    if given.shape != (rows,) or given.dtype.kind not in "iuU":
        raise OutOfRange(
            f"The labels of {name} are not {rows} words or whole numbers.",
            hint="Give each row one label of each factor; leave out rows that have none.",
        )
    levels, codes = np.unique(given, return_inverse=True)
    return _Factor(name=name, levels=tuple(levels.tolist()), codes=codes.astype(np.intp))


def _check_size(numbers: Floats, columns: Floats, factors: tuple[_Factor, ...]) -> None:
    if columns.shape[0] != numbers.size or numbers.size <= columns.shape[1]:
        raise OutOfRange(
            f"{numbers.size} rows do not go with a design of {columns.shape[0]} rows and"
            f" {columns.shape[1]} columns.",
            hint="Give the design a row for each number, and more rows than columns.",
        )
    if not factors or not columns.shape[1]:
        raise OutOfRange(
            "There is no factor, or no fixed effect.",
            hint="Give one factor at least, and no design or one with a column.",
        )


def _apart(columns: Floats, numbers: Floats) -> _Design:
    """Split the columns into an orthonormal basis and a triangle, and take their fit out."""
    basis, triangle = linalg.qr(columns, mode="economic")
    lengths = np.linalg.norm(columns, axis=0)
    if (np.abs(np.diag(triangle)) <= NEW_IN_COLUMN * lengths).any():
        raise OutOfRange(
            "A column of the design follows from the others.",
            hint="Leave out the column that says nothing new.",
        )
    straight = basis.T @ numbers
    rest = numbers - basis @ straight
    # Once more: the first difference of large numbers leaves a little of the columns behind.
    again = basis.T @ rest
    return _Design(
        basis=basis, triangle=triangle, straight=straight + again, rest=rest - basis @ again
    )


def _held(factors: tuple[_Factor, ...], basis: Floats) -> dict[str, Concern]:
    """Name the factors whose deviation cannot be told from something else, and from what."""
    held: dict[str, Concern] = {}
    for no, factor in enumerate(factors):
        before = [each for each in factors[:no] if each.name not in held]
        if (concern := _cannot_tell(factor, before, basis)) is not None:
            held[factor.name] = concern
    return held


def _cannot_tell(factor: _Factor, before: list[_Factor], basis: Floats) -> Concern | None:
    if factor.size == 1:
        return Concern.ONE_LEVEL
    if factor.size == factor.codes.size:
        return Concern.LIKE_THE_ROWS
    if any(_same_groups(factor, other) for other in before):
        return Concern.LIKE_ANOTHER
    sums = [np.bincount(factor.codes, weights=column) for column in basis.T]
    if factor.codes.size - np.square(sums).sum() <= NEW_IN_COLUMN * factor.codes.size:
        return Concern.IN_THE_DESIGN
    return None


def _same_groups(one: _Factor, other: _Factor) -> bool:
    pairs = one.codes * other.size + other.codes
    return one.size == other.size == np.unique(pairs).size


def _free(factors: tuple[_Factor, ...], held: Mapping[str, Concern]) -> tuple[_Factor, ...]:
    """Return the factors to be estimated, the largest first."""
    free = (each for each in factors if each.name not in held)
    return tuple(sorted(free, key=lambda each: -each.size))


def _search(apart: _Design, factors: tuple[_Factor, ...], most_steps: int) -> _Found:
    """Find the ratios with the least criterion."""
    system = _system(apart, factors)
    if not factors:
        solved = solve(system, np.zeros(1))
        return _Found(factors=(), system=system, solved=solved, evaluations=1, warnings=())
    ended, variance = _least(system, most_steps), None
    before = 0
    if (ended.x >= MOST).any():
        before = ended.nfev
        variance = RESIDUAL_TAKEN**2 * float(apart.rest @ apart.rest) / system.freedom
        ended = _least(system, most_steps, variance)
    place = np.where(ended.x < ZERO, 0.0, ended.x)
    warnings = _concerns(factors, place, ended.jac)
    if variance is not None:
        warnings.append(FitWarning(concern=Concern.NO_RESIDUAL))
    return _Found(
        factors=factors,
        system=system,
        solved=solve(system, _ratios(system, place), variance),
        evaluations=before + ended.nfev + 1,
        warnings=tuple(warnings),
    )


def _least(system: CrossedSystem, most_steps: int, variance: float | None = None) -> Any:
    """Search from the middle, with the residual variance estimated or given."""
    return optimize.minimize(
        _criterion_and_slopes(system, variance),
        np.full(len(system.sizes), START),
        jac=True,
        method="L-BFGS-B",
        bounds=[(LEAST, MOST)] * len(system.sizes),
        # It may end early, where rounding hides any further gain; whether that is good enough
        # is judged by the slope and not by its own word.
        options={"ftol": 0.0, "gtol": SLOPE_SOUGHT * min(system.sizes), "maxiter": most_steps},
    )


def _system(apart: _Design, factors: tuple[_Factor, ...]) -> CrossedSystem:
    codes, sizes = tuple(each.codes for each in factors), tuple(each.size for each in factors)
    if not factors:
        # With nothing to estimate, a factor of one level stands in, to be held at zero.
        codes, sizes = (np.zeros(apart.rest.size, dtype=np.intp),), (1,)
    return crossed_system(apart.rest, apart.basis, codes, sizes)


def _ratios(system: CrossedSystem, place: Floats) -> Floats:
    """Return the ratios for a place of the search, log(1 + rows a level x squared ratio)."""
    rows_a_level = system.response.size / np.array(system.sizes)
    ratios: Floats = np.sqrt(np.expm1(place) / rows_a_level)
    return ratios


def _criterion_and_slopes(
    system: CrossedSystem, variance: float | None
) -> Callable[[Floats], tuple[float, Floats]]:
    def at(place: Floats) -> tuple[float, Floats]:
        solved = solve(system, _ratios(system, place), variance)
        # From the logarithm of the squared ratio to the scale of the search.
        return solved.criterion, slopes(system, solved) / -np.expm1(-place)

    return at


def _concerns(factors: tuple[_Factor, ...], place: Floats, slope: Floats) -> list[FitWarning]:
    """Return in words where the search ended at a bound, or on a slope."""
    found = [
        FitWarning(concern=Concern.ZERO_VARIANCE, factor=each.name)
        for each, at in zip(factors, place, strict=True)
        if at == 0
    ]
    # At a bound the criterion may fall outwards, and only there.
    steep = np.select([place == 0, place >= MOST], [-slope, slope], np.abs(slope))
    if (steep > SLOPE_LEFT * np.array([each.size for each in factors])).any():
        found.append(FitWarning(concern=Concern.NOT_CONVERGED))
    return found


def _result(
    apart: _Design, factors: tuple[_Factor, ...], found: _Found, held: Mapping[str, Concern]
) -> MixedFit:
    system, solved = found.system, found.solved
    residual = float(np.sqrt(solved.variance))
    fits = _factor_fits(found, residual)
    turned = linalg.solve_triangular(apart.triangle, np.eye(apart.straight.size))
    covariance = turned @ fixed_covariance(solved) @ turned.T * residual**2
    # The criterion is for the basis; the columns themselves have another volume.
    volume = 2 * np.log(np.abs(np.diag(apart.triangle))).sum()
    unbounded = FitWarning(concern=Concern.NO_RESIDUAL) in found.warnings
    return MixedFit(
        fixed=tuple((turned @ (apart.straight + solved.fixed)).tolist()),
        fixed_covariance=tuple(tuple(row) for row in covariance.tolist()),
        factors=tuple(fits.get(each.name) or _at_zero(each) for each in factors),
        residual=residual,
        criterion=None if unbounded else solved.criterion + float(volume),
        rows=apart.rest.size,
        freedom=system.freedom,
        parts=_parts(factors),
        evaluations=found.evaluations,
        warnings=(*_told(held), *found.warnings),
    )


def _factor_fits(found: _Found, residual: float) -> dict[str, FactorFit]:
    if not found.factors:
        return {}
    solved, variances = found.solved, conditional_variances(found.system, found.solved)
    parts = zip(found.factors, solved.ratios, solved.spherical, variances, strict=True)
    return {
        factor.name: FactorFit(
            name=factor.name,
            deviation=float(ratio * residual),
            levels=factor.levels,
            counts=tuple(np.bincount(factor.codes).tolist()),
            means=tuple((ratio * u).tolist()),
            deviations=tuple((np.sqrt(variance) * residual).tolist()),
        )
        for factor, ratio, u, variance in parts
    }


def _at_zero(factor: _Factor) -> FactorFit:
    nothing = (0.0,) * factor.size
    return FactorFit(
        name=factor.name,
        deviation=0.0,
        levels=factor.levels,
        counts=tuple(np.bincount(factor.codes).tolist()),
        means=nothing,
        deviations=nothing,
    )


def _without_spread(
    apart: _Design, factors: tuple[_Factor, ...], held: Mapping[str, Concern]
) -> MixedFit:
    """Return the fit of rows that the fixed effects explain to the last digit."""
    columns = apart.straight.size
    fixed = linalg.solve_triangular(apart.triangle, apart.straight)
    return MixedFit(
        fixed=tuple(fixed.tolist()),
        fixed_covariance=((0.0,) * columns,) * columns,
        factors=tuple(_at_zero(each) for each in factors),
        residual=0.0,
        criterion=None,
        rows=apart.rest.size,
        freedom=apart.rest.size - columns,
        parts=_parts(factors),
        evaluations=0,
        warnings=(*_told(held), FitWarning(concern=Concern.NO_SPREAD)),
    )


def _told(held: Mapping[str, Concern]) -> list[FitWarning]:
    return [FitWarning(concern=concern, factor=name) for name, concern in held.items()]


def _parts(factors: tuple[_Factor, ...]) -> int:
    """Count the groups of rows that share no level: rows and levels as one net."""
    rows = factors[0].codes.size
    starts = rows + np.cumsum([0, *(each.size for each in factors)])
    ends = np.concatenate([s + each.codes for s, each in zip(starts, factors, strict=False)])
    begins = np.tile(np.arange(rows), len(factors))
    net = sparse.csr_array((np.ones(ends.size), (begins, ends)), shape=(starts[-1],) * 2)
    count: int = sparse.csgraph.connected_components(net, directed=False, return_labels=False)
    return int(count)
