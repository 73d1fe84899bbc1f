"""The records of a fit."""

import pytest

from crustbreak.numerics.mixed_fit import Concern, FactorFit, FitWarning, MixedFit


def a_factor(name: str) -> FactorFit:
    return FactorFit(
        name=name, deviation=1.0, levels=("a",), counts=(2,), means=(0.5,), deviations=(0.1,)
    )


def a_fit() -> MixedFit:
    return MixedFit(
        fixed=(83.0,),
        fixed_covariance=((0.2,),),
        factors=(a_factor("coffee"), a_factor("taster")),
        residual=0.9,
        criterion=12.0,
        rows=2,
        freedom=1,
        parts=1,
        evaluations=7,
        warnings=(FitWarning(concern=Concern.ZERO_VARIANCE, factor="taster"),),
    )


def test_a_factor_is_found_by_its_name() -> None:
    fit = a_fit()

    found = fit.factor("taster")

    assert found is fit.factors[1]


def test_a_name_that_is_not_there_is_a_key_error() -> None:
    fit = a_fit()

    with pytest.raises(KeyError, match="roaster"):
        fit.factor("roaster")
