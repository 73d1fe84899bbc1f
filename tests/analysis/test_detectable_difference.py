from dataclasses import replace

import numpy as np
import pytest

from crustbreak.analysis.detectable_difference import (
    DetectableDifference,
    RatingError,
    detectable_difference,
    rating_error,
)
from datasets import dataset, simulated_history
from priors import TEN_LINE


def known(own: float, private: float = 0.0) -> RatingError:
    """Give an error that is known for certain, without bowls of its own."""
    return RatingError(private=np.full(4, private), own=np.full(4, own), cup=np.zeros(4), tables=0)


@pytest.mark.parametrize(
    ("tasters", "looks", "believed", "found"),
    [(1, 1, 2.8, 4.0), (3, 1, 1.6, 2.3), (3, 2, 1.1, 1.6), (6, 2, 0.8, 1.1)],
)
def test_gaps_of_a_taster_with_a_deviation_of_one(
    tasters: int, looks: int, believed: float, found: float
) -> None:
    # 1.96 and 2.80 times sqrt(2 / looks in all), by hand; the rounded figures are common
    # practice, no source.
    told = detectable_difference(known(1.0), tasters=tasters, looks=looks, cups=5, coffees=2)

    assert isinstance(told, DetectableDifference)
    assert told.worth_believing == pytest.approx(believed, abs=0.05)
    assert told.found == pytest.approx(found, abs=0.05)
    assert told.best == told.worth_believing


def test_the_best_of_eight_has_to_lie_further_ahead() -> None:
    # The studentized range at 5 %: 4.286 for eight means against 2.772 for two, known error
    # (tables of the studentized range, from memory).
    told = detectable_difference(known(1.0), tasters=3, cups=5, coffees=8)

    assert told.best / told.worth_believing == pytest.approx(4.286 / 2.772, abs=0.002)


def test_a_second_look_does_not_shrink_a_private_taste() -> None:
    private = RatingError(private=np.ones(4), own=np.zeros(4), cup=np.zeros(4), tables=0)

    once, twice = (
        detectable_difference(private, tasters=2, looks=looks, cups=5, coffees=2)
        for looks in (1, 2)
    )

    assert twice.worth_believing == pytest.approx(once.worth_believing)


def test_doubt_about_the_error_widens_the_gap() -> None:
    doubtful = replace(known(1.0), own=np.array([0.5, 0.8, 1.2, 1.323]))

    assert np.mean(doubtful.own**2) == pytest.approx(1.02, abs=0.03)
    assert (
        detectable_difference(doubtful, tasters=3, cups=5, coffees=2).found
        > detectable_difference(known(1.0), tasters=3, cups=5, coffees=2).found
    )


def test_without_a_table_the_priors_speak_and_with_many_the_house() -> None:
    nothing = rating_error((), TEN_LINE)
    careful = rating_error(simulated_history(tables=20, look_sd=0.4), TEN_LINE)

    # The median of the prior of private taste and error together.
    look = np.sqrt(nothing.private**2 + nothing.own**2)
    assert np.median(look) == pytest.approx(0.95, abs=0.05)
    assert (nothing.tables, careful.tables) == (0, 20)
    assert np.median(np.sqrt(careful.private**2 + careful.own**2)) == pytest.approx(0.4, abs=0.1)


def test_a_table_of_one_complete_look_is_no_error() -> None:
    error = rating_error((dataset({"Tarn": {"Ines": 84.0}}),), TEN_LINE)

    assert np.isfinite(detectable_difference(error, tasters=1, cups=5, coffees=3).found)
