"""What a mixed model says: the records of a fit."""

from dataclasses import dataclass
from enum import StrEnum


class Concern(StrEnum):
    """What to know about a fit before using it."""

    ZERO_VARIANCE = "zero variance"
    ONE_LEVEL = "one level"
    LIKE_THE_ROWS = "like the rows"
    LIKE_ANOTHER = "like another factor"
    IN_THE_DESIGN = "in the design"
    NO_SPREAD = "no spread"
    NO_RESIDUAL = "no residual"
    NOT_CONVERGED = "not converged"


@dataclass(frozen=True, slots=True, kw_only=True)
class FitWarning:
    """One thing to know about a fit.

    concern:  zero variance: the best estimate of the factor's deviation is 0.
              one level, like the rows (each row has a level of its own), like another factor,
              in the design (the fixed effects say all that the factor could): its deviation
              cannot be told from something else; it is left out and given as 0.
              no spread: the fixed effects fit every row exactly.
              no residual: the factors fit every row as good as exactly, and the likelihood has
              no bound. The residual deviation was taken as a thousandth of the deviation of
              the rows; all else is the best for that.
              not converged: the search ended on a slope.
    factor:   the factor's name, None for the whole fit.
    """

    concern: Concern
    factor: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FactorFit:
    """What was found for one factor.

    name:        as given.
    deviation:   standard deviation of its effects, response's unit.
    levels:      the labels, sorted.
    counts:      rows a level.
    means:       conditional means of the effects, response's unit: shrunk towards 0.
    deviations:  conditional standard deviations of the effects, same unit; deviations and fixed
                 effects taken as known, so for few levels too small.
    """

    name: str
    deviation: float
    levels: tuple[str | int, ...]
    counts: tuple[int, ...]
    means: tuple[float, ...]
    deviations: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MixedFit:
    """A fitted model.

    fixed:             coefficients of the design's columns, shape (p,).
    fixed_covariance:  their covariance, shape (p, p).
    factors:           one a factor, in the order given.
    residual:          standard deviation of what is left, response's unit.
    criterion:         -2 log restricted likelihood; None where it has no bound (no spread, no
                       residual).
    rows, freedom:     n, and n less the columns of the design.
    parts:             groups of rows that share no level of any factor: 1 when all hang
                       together. Levels of different parts are compared through their shrinking
                       and the fixed effects only. Nested factors always fall into parts.
    evaluations:       how often the criterion was worked out.
    warnings:          what to know before using it.
    """

    fixed: tuple[float, ...]
    fixed_covariance: tuple[tuple[float, ...], ...]
    factors: tuple[FactorFit, ...]
    residual: float
    criterion: float | None
    rows: int
    freedom: int
    parts: int
    evaluations: int
    warnings: tuple[FitWarning, ...]

    def factor(self, name: str) -> FactorFit:
        """Return one factor by its name; KeyError when there is none."""
        return {each.name: each for each in self.factors}[name]
