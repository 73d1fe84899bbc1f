"""The mixed model: against another program, by hand, by simulation, and on sad data."""

from collections.abc import Mapping
from math import log, pi, sqrt
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossed_tables import STUDIES, rows_of, said_of
from crustbreak.core.errors import OutOfRange
from crustbreak.numerics.mixed_fit import Concern, FitWarning, MixedFit
from crustbreak.numerics.mixed_model import fit_mixed_model

Labels = Mapping[str, npt.NDArray[Any]]

# Balanced, one factor: three coffees, two cups each. By hand: level means 82.5, 84.5, 87.5;
# mean square between 2 x (49 + 1 + 64) / 9 / 2 = 38/3, within 3 x 0.5 / 3 = 0.5.
ONE_WAY = [82.0, 83.0, 84.0, 85.0, 87.0, 88.0]
COFFEES = ["a", "a", "b", "b", "c", "c"]


@pytest.fixture(scope="module")
def fits() -> Mapping[str, MixedFit]:
    """Fit each public study once."""
    return {
        name: fit_mixed_model(rows.response, rows.factors, rows.design)
        for name in STUDIES
        for rows in [rows_of(name)]
    }


# Every number of these four tests is from [S15], by tests/oracles/mixed_model.R. Tolerances:
# what is left of the other program's own search, which ends without looking at a slope.
@pytest.mark.parametrize("name", STUDIES)
def test_criterion_is_that_of_the_other_program(name: str, fits: Mapping[str, MixedFit]) -> None:
    fit, said = fits[name], said_of(name)

    assert fit.criterion == pytest.approx(said["criterion"], rel=1e-9)
    assert (fit.rows, fit.freedom) == (said["rows"], said["rows"] - len(fit.fixed))


@pytest.mark.parametrize("name", STUDIES)
def test_deviations_are_those_of_the_other_program(name: str, fits: Mapping[str, MixedFit]) -> None:
    fit, said = fits[name], said_of(name)

    expected = {factor: found["deviation"] for factor, found in said["factors"].items()}

    assert {each.name: each.deviation for each in fit.factors} == pytest.approx(expected, rel=1e-4)
    assert fit.residual == pytest.approx(said["residual"], rel=1e-5)


@pytest.mark.parametrize("name", STUDIES)
def test_fixed_effects_are_those_of_the_other_program(
    name: str, fits: Mapping[str, MixedFit]
) -> None:
    fit, said = fits[name], said_of(name)

    assert fit.fixed == pytest.approx(np.atleast_1d(said["fixed"]), rel=1e-6)
    assert np.array(fit.fixed_covariance) == pytest.approx(
        np.array(said["fixed_covariance"]), rel=2e-4
    )


@pytest.mark.parametrize(
    ("name", "factor"), [(name, factor) for name in STUDIES for factor in STUDIES[name].factors]
)
def test_levels_are_those_of_the_other_program(
    name: str, factor: str, fits: Mapping[str, MixedFit]
) -> None:
    found, said = fits[name].factor(factor), said_of(name)["factors"][factor]
    places = [found.levels.index(level) for level in np.atleast_1d(said["levels"])]

    # A mean near zero is compared on the scale of the factor and not of itself.
    means, deviations = np.array(found.means), np.array(found.deviations)
    near = 1e-4 * said["deviation"]
    assert means[places] == pytest.approx(np.atleast_1d(said["means"]), rel=1e-4, abs=near)
    assert deviations[places] == pytest.approx(np.atleast_1d(said["deviations"]), rel=1e-4)
    assert means @ means == pytest.approx(said["sum_of_squared_means"], rel=2e-4)
    assert deviations @ deviations == pytest.approx(said["sum_of_squared_deviations"], rel=2e-4)


def test_balanced_one_way_layout_is_the_analysis_of_variance() -> None:
    """The estimates are MSW and (MSB - MSW) / cups. Source: [S17]."""
    fit = fit_mixed_model(ONE_WAY, {"coffee": COFFEES})

    between, within = 38 / 3, 0.5
    assert fit.residual**2 == pytest.approx(within, rel=1e-6)
    assert fit.factor("coffee").deviation ** 2 == pytest.approx((between - within) / 2, rel=1e-6)
    assert fit.fixed == pytest.approx([509 / 6], rel=1e-12)
    assert np.array(fit.fixed_covariance) == pytest.approx(between / 6, rel=1e-6)
    # -2 log restricted likelihood: V has 3 roots of MSW and 3 of MSB, one of them taken by the
    # mean, which brings 6 rows; the squares add up to the freedom, 5.
    by_hand = 5 * log(2 * pi) + 3 * log(within) + 2 * log(between) + log(6) + 5
    assert fit.criterion == pytest.approx(by_hand, rel=1e-12)


def test_balanced_one_way_effects_are_shrunk_as_by_hand() -> None:
    """A level's mean is shrunk by 1 - MSW / MSB, its variance is MSW / cups times that."""
    coffee = fit_mixed_model(ONE_WAY, {"coffee": COFFEES}).factor("coffee")

    shrunk = 1 - 0.5 / (38 / 3)
    assert coffee.levels == ("a", "b", "c")
    assert coffee.counts == (2, 2, 2)
    assert coffee.means == pytest.approx([shrunk * by / 3 for by in (-7, -1, 8)], rel=1e-6)
    assert coffee.deviations == pytest.approx([sqrt(shrunk * 0.5 / 2)] * 3, rel=1e-6)


def simulated(seed: int, *, coffees: int = 30, tasters: int = 12) -> tuple[Any, Labels]:
    """Give marks with deviations of 1.3, 1.1 and 0.95 about 83, a tenth of the cells missing."""
    draw = np.random.default_rng(seed)
    kept = draw.permutation(coffees * tasters)[: coffees * tasters * 9 // 10]
    coffee, taster = kept // tasters, kept % tasters
    marks = 83 + draw.normal(scale=1.3, size=coffees)[coffee]
    marks += draw.normal(scale=1.1, size=tasters)[taster]
    marks += draw.normal(scale=0.95, size=kept.size)
    return marks, {"coffee": coffee, "taster": taster}


def test_truths_are_recovered_within_the_error_of_the_simulation() -> None:
    """Variances are compared, since the estimates of those have no bias to speak of."""
    truth = np.square([1.3, 1.1, 0.95])

    fits = [fit_mixed_model(*simulated(seed)) for seed in range(80)]

    found = np.square([[each.deviation for each in fit.factors] + [fit.residual] for fit in fits])
    error = found.std(axis=0, ddof=1) / sqrt(len(fits))
    assert (np.abs(found.mean(axis=0) - truth) < 4 * error).all()
    # Or the sentence above would hold of anything.
    assert (error < 0.12 * truth).all()


seeds = st.integers(0, 9999)


def small(seed: int) -> tuple[Any, Labels]:
    return simulated(seed, coffees=6, tasters=4)


def deviations(fit: MixedFit) -> list[float]:
    return [*(each.deviation for each in fit.factors), fit.residual]


@settings(max_examples=40)
@given(seeds, seeds)
def test_order_of_rows_does_not_matter(seed: int, order: int) -> None:
    marks, factors = small(seed)
    moved = np.random.default_rng(order).permutation(marks.size)

    one = fit_mixed_model(marks, factors)
    other = fit_mixed_model(marks[moved], {name: at[moved] for name, at in factors.items()})

    assert other.criterion == pytest.approx(one.criterion, rel=1e-9)
    assert deviations(other) == pytest.approx(deviations(one), rel=1e-4, abs=2e-3)
    for a, b in zip(one.factors, other.factors, strict=True):
        assert (a.levels, a.counts) == (b.levels, b.counts)
        assert b.means == pytest.approx(a.means, abs=2e-3)


@settings(max_examples=40)
@given(seeds, st.permutations(range(6)))
def test_names_of_levels_do_not_matter(seed: int, names: list[int]) -> None:
    marks, factors = small(seed)
    renamed = {**factors, "coffee": np.array(names)[factors["coffee"]]}

    one, other = fit_mixed_model(marks, factors), fit_mixed_model(marks, renamed)

    assert deviations(other) == pytest.approx(deviations(one), rel=1e-4, abs=2e-3)
    was, now = one.factor("coffee"), other.factor("coffee")
    found = [now.means[names[level]] for level in was.levels if isinstance(level, int)]
    assert found == pytest.approx(was.means, abs=2e-3)


@settings(max_examples=40)
@given(seeds, st.integers(-400, 400))
def test_a_shift_moves_the_intercept_alone(seed: int, by: int) -> None:
    marks, factors = small(seed)

    one, moved = fit_mixed_model(marks, factors), fit_mixed_model(marks + by, factors)

    assert moved.fixed == pytest.approx([one.fixed[0] + by], rel=1e-5, abs=1e-3)
    assert moved.criterion == pytest.approx(one.criterion, rel=1e-9)
    assert deviations(moved) == pytest.approx(deviations(one), rel=1e-4, abs=2e-3)


@settings(max_examples=40)
@given(seeds, st.integers(1, 400).map(lambda quarters: quarters / 4))
def test_a_scale_stretches_every_deviation(seed: int, times: float) -> None:
    marks, factors = small(seed)

    one, wide = fit_mixed_model(marks, factors), fit_mixed_model(marks * times, factors)

    expected = [times * each for each in deviations(one)]
    assert deviations(wide) == pytest.approx(expected, rel=1e-4, abs=2e-3 * times)
    assert wide.fixed == pytest.approx([one.fixed[0] * times], rel=1e-4)


@settings(max_examples=40)
@given(seeds)
def test_effects_of_each_factor_add_up_to_zero(seed: int) -> None:
    """They are t^2 Z' P y, and P y adds up to zero when there is an intercept."""
    fit = fit_mixed_model(*small(seed))

    for each in fit.factors:
        assert sum(each.means) == pytest.approx(0.0, abs=1e-9)


def test_estimate_below_zero_is_zero_with_a_warning() -> None:
    """Both coffees have the same mean: all spread is residual, squares 2 + 2 over 4 - 1."""
    fit = fit_mixed_model([82.0, 84.0, 82.0, 84.0], {"coffee": ["a", "a", "b", "b"]})

    coffee = fit.factor("coffee")
    assert fit.warnings == (FitWarning(concern=Concern.ZERO_VARIANCE, factor="coffee"),)
    assert (coffee.deviation, coffee.means, coffee.deviations) == (0.0, (0.0,) * 2, (0.0,) * 2)
    assert fit.residual == pytest.approx(sqrt(4 / 3), rel=1e-12)


def test_all_equal_rows_have_no_spread_and_no_criterion() -> None:
    fit = fit_mixed_model([83.1] * 6, {"coffee": COFFEES, "taster": [1, 2] * 3})

    assert fit.warnings == (FitWarning(concern=Concern.NO_SPREAD),)
    assert fit.fixed == pytest.approx([83.1], rel=1e-12)
    assert deviations(fit) == [0.0, 0.0, 0.0]
    assert (fit.criterion, fit.fixed_covariance, fit.freedom) == (None, ((0.0,),), 5)


def test_one_level_is_left_out_with_a_warning() -> None:
    alone = fit_mixed_model(ONE_WAY, {"coffee": COFFEES})

    fit = fit_mixed_model(ONE_WAY, {"taster": ["me"] * 6, "coffee": COFFEES})

    assert fit.warnings == (FitWarning(concern=Concern.ONE_LEVEL, factor="taster"),)
    assert (fit.factor("taster").deviation, fit.factor("taster").means) == (0.0, (0.0,))
    assert (fit.factor("coffee"), fit.criterion) == (alone.factor("coffee"), alone.criterion)


def test_a_level_for_each_row_is_left_to_the_residual_with_a_warning() -> None:
    """With nothing else to estimate this is the sample variance: 25.33 + 1.5, over 5."""
    fit = fit_mixed_model(ONE_WAY, {"cup": [1, 2, 3, 4, 5, 6]})

    assert fit.warnings == (FitWarning(concern=Concern.LIKE_THE_ROWS, factor="cup"),)
    assert fit.residual**2 == pytest.approx((2 * 38 / 3 + 3 * 0.5) / 5, rel=1e-12)
    assert np.array(fit.fixed_covariance) == pytest.approx(fit.residual**2 / 6, rel=1e-12)


def test_a_factor_with_the_groups_of_another_is_left_out_with_a_warning() -> None:
    roasts = ["r3", "r3", "r1", "r1", "r2", "r2"]

    fit = fit_mixed_model(ONE_WAY, {"coffee": COFFEES, "roast": roasts})

    assert fit.warnings == (FitWarning(concern=Concern.LIKE_ANOTHER, factor="roast"),)
    assert fit.factor("coffee").deviation ** 2 == pytest.approx((38 / 3 - 0.5) / 2, rel=1e-6)


def test_a_factor_that_is_a_fixed_effect_too_is_left_out_with_a_warning() -> None:
    """The pairs' own means fit, and what is left is within the pairs: MSW, 0.5."""
    design = np.eye(3)[[0, 0, 1, 1, 2, 2]]

    fit = fit_mixed_model(ONE_WAY, {"coffee": COFFEES}, design)

    assert fit.warnings == (FitWarning(concern=Concern.IN_THE_DESIGN, factor="coffee"),)
    assert fit.fixed == pytest.approx([82.5, 84.5, 87.5])
    assert fit.residual**2 == pytest.approx(0.5, rel=1e-12)


def test_cups_that_are_all_alike_leave_no_residual_with_a_warning() -> None:
    """The sample variance of 82, 84 and 87 is 19/3, of the six rows 76/15."""
    fit = fit_mixed_model([82.0, 82.0, 84.0, 84.0, 87.0, 87.0], {"coffee": COFFEES})

    assert (fit.warnings, fit.criterion) == ((FitWarning(concern=Concern.NO_RESIDUAL),), None)
    assert fit.residual == pytest.approx(1e-3 * sqrt(76 / 15))
    assert fit.factor("coffee").deviation ** 2 == pytest.approx(19 / 3, rel=1e-4)
    assert fit.factor("coffee").means == pytest.approx([-7 / 3, -1 / 3, 8 / 3], rel=1e-5)


def test_two_factors_that_add_up_exactly_keep_their_own_deviations() -> None:
    """Coffees 82, 84, 87 and tasters one apart: sample variances 19/3 and 1/2."""
    marks = [82.0, 83.0, 84.0, 85.0, 87.0, 88.0]

    fit = fit_mixed_model(marks, {"taster": ["me", "you"] * 3, "coffee": COFFEES})

    assert fit.warnings == (FitWarning(concern=Concern.NO_RESIDUAL),)
    found = [each.deviation**2 for each in fit.factors]
    assert found == pytest.approx([1 / 2, 19 / 3], rel=1e-4)


def test_a_search_that_gives_up_early_says_so() -> None:
    fit = fit_mixed_model(*simulated(3), most_steps=1)

    assert FitWarning(concern=Concern.NOT_CONVERGED) in fit.warnings


@pytest.mark.parametrize("name", STUDIES)
def test_public_tables_give_no_warning_but_the_one_that_is_due(
    name: str, fits: Mapping[str, MixedFit]
) -> None:
    """Source: [S15]; the other program gives zero for this one table."""
    expected = [Concern.ZERO_VARIANCE] if name == "dyestuff2" else []

    assert [warning.concern for warning in fits[name].warnings] == expected


def test_two_tasters_who_share_no_coffee_are_two_parts() -> None:
    """Two parts still have an answer: a taster's effect is the part of the coffees' in common.

    Each coffee belongs to one taster, so Z' P y of a taster is the sum over the coffees, and
    the conditional means are Z' P y times the variance of their factor.
    """
    tasters = ["me"] * 6 + ["you"] * 6
    coffees = [name for name in "abcdef" for _ in range(2)]
    marks = [82.0, 83.0, 84.0, 84.5, 83.0, 82.0, 86.0, 87.0, 88.5, 88.0, 85.0, 86.0]

    fit = fit_mixed_model(marks, {"taster": tasters, "coffee": coffees})

    taster, coffee = fit.factors
    assert (fit.parts, fit.warnings) == (2, ())
    theirs = np.array(coffee.means).reshape(2, 3).sum(axis=1) / coffee.deviation**2
    assert np.array(taster.means) / taster.deviation**2 == pytest.approx(theirs, rel=1e-8)


def test_one_shared_coffee_makes_one_part() -> None:
    factors = {"taster": ["me"] * 3 + ["you"] * 3, "coffee": ["a", "b", "c", "c", "d", "e"]}

    fit = fit_mixed_model([82.0, 83.0, 85.0, 86.0, 84.5, 88.0], factors)

    assert fit.parts == 1


def test_unit_of_a_fixed_effect_moves_the_criterion_by_its_volume_alone() -> None:
    """Columns times c make |X' V^-1 X| c^2 as large."""
    marks, factors = simulated(5)
    slope = np.linspace(-1, 1, marks.size)
    designs = [np.column_stack([np.ones(marks.size), slope * by]) for by in (1, 1000)]

    one, other = (fit_mixed_model(marks, factors, design) for design in designs)

    assert one.criterion is not None
    assert other.criterion == pytest.approx(one.criterion + 2 * log(1000), rel=1e-10)
    assert other.fixed == pytest.approx([one.fixed[0], one.fixed[1] / 1000], rel=1e-6)
    assert deviations(other) == pytest.approx(deviations(one), rel=1e-5)


@pytest.mark.parametrize(
    ("marks", "factors", "design", "words"),
    [
        ([82.0, float("nan"), 84.0], {"c": [1, 2, 2]}, None, "1 numbers that are not finite"),
        ([82.0, 83.0, 84.0], {"c": [1, 2]}, None, "labels of c are not 3 words"),
        ([82.0, 83.0, 84.0], {"c": [1.5, 2.0, 2.0]}, None, "labels of c are not 3 words"),
        ([82.0, 83.0, 84.0], {"c": ["a", None, "b"]}, None, "labels of c are not 3 words"),
        ([82.0, 83.0, 84.0], {"c": [1, 1, 2]}, [1.0, 2.0, 3.0], "1 dimensions instead of 2"),
        ([82.0, 83.0, 84.0], {"c": [1, 1, 2]}, [[1.0], [1.0]], "3 rows do not go with a design"),
        ([82.0], {"c": [1]}, None, "1 rows do not go with a design"),
        ([82.0, 83.0, 84.0], {"c": [1, 1, 2]}, [[1.0, 2.0]] * 3, "follows from the others"),
        ([82.0, 83.0, 84.0], {}, None, "no factor"),
    ],
)
def test_what_cannot_be_fitted_is_refused(
    marks: Any, factors: Any, design: Any, words: str
) -> None:
    with pytest.raises(OutOfRange, match=words) as told:
        fit_mixed_model(marks, factors, design)

    assert told.value.hint
