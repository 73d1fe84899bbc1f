"""An old score regresses to the mean of what it was picked from."""

from dataclasses import replace

import numpy as np
import pytest

from crustbreak.analysis.expected_rescore import Again, expect_again
from crustbreak.domain.records.physicals import OldScore
from crustbreak.domain.sheets.priors import Priors
from priors import TEN_LINE

# From coffee to coffee, and error of a mean: as the winner's curse is usually told. Common
# practice, no source.
SPREAD, ERROR = 1.5, 0.8


def like(coffee: float, look: float) -> Priors:
    nothing = (1e-9, 0.1)
    return replace(TEN_LINE, coffee=(coffee, 0.1), look=(look, 0.1), roast=nothing, table=nothing)


def test_the_share_that_comes_back_is_that_of_the_textbook() -> None:
    # Expected = mean + (score - mean) x variance of the true / variance of the seen. Source: [S34].
    again = expect_again(OldScore(score=87.0, usual=83.0), like(SPREAD, ERROR))

    share = SPREAD**2 / (SPREAD**2 + ERROR**2)
    assert again.expected == pytest.approx(83 + 4 * share, abs=1e-4)
    assert again.drop == pytest.approx(4 * (1 - share), abs=1e-4)


def test_the_best_three_of_forty_score_too_high_by_about_seven_tenths() -> None:
    # The mean of the three highest of forty normal deviates is 1.81 of them: table of expected
    # normal order statistics, 2.16, 1.75 and 1.52; from memory. Seven tenths: common practice, no
    # source.
    seen = 83 + 1.81 * np.hypot(SPREAD, ERROR)

    again = expect_again(OldScore(score=float(seen), usual=83.0), like(SPREAD, ERROR))

    assert again.drop == pytest.approx(0.7, abs=0.05)


@pytest.mark.parametrize("usual", [84.0, None])
def test_whole_tastings_drawn_apart_agree_in_the_mean_and_in_nine_of_ten(
    usual: float | None,
) -> None:
    chance = np.random.default_rng(8)
    old = OldScore(score=87.5, tasters=3, tables=1, usual=usual)
    again = expect_again(old, TEN_LINE)
    tries = 2_000_000
    # Where nobody said what such offers score, their mean is drawn as well.
    mean, doubt = TEN_LINE.mean if usual is None else (usual, 0.0)
    lots = mean + doubt * chance.standard_normal(tries)
    lots += TEN_LINE.coffee[0] * chance.standard_normal(tries)

    def tasted() -> np.ndarray:
        roast, table, look = (
            each[0] * chance.standard_normal(tries)
            for each in (TEN_LINE.roast, TEN_LINE.table, TEN_LINE.look)
        )
        return lots + roast + table + look / np.sqrt(3)

    first, second = tasted(), tasted()
    # Those that happened to score what this one did, and what they came to the next time.
    alike = np.abs(first - 87.5) < 0.1
    assert alike.sum() > 1000
    assert again.expected == pytest.approx(second[alike].mean(), abs=0.1)
    held = (second[alike] > again.low) & (second[alike] < again.high)
    assert held.mean() == pytest.approx(0.9, abs=0.02)


def test_more_tasters_and_tables_leave_less_to_drop() -> None:
    one = expect_again(OldScore(score=87.5, usual=84.0), TEN_LINE)
    many = expect_again(OldScore(score=87.5, tasters=6, tables=4, usual=84.0), TEN_LINE)

    assert isinstance(one, Again)
    assert 0 < many.drop < one.drop
    assert many.high - many.low < one.high - one.low


def test_a_score_under_the_usual_is_expected_to_rise() -> None:
    again = expect_again(OldScore(score=80.0, usual=84.0), TEN_LINE)

    assert again.drop < 0
    assert again.usual == 84.0


def test_without_a_usual_score_the_assumed_mean_is_taken_with_its_doubt() -> None:
    again = expect_again(OldScore(score=87.5, tasters=3), TEN_LINE)
    told = expect_again(OldScore(score=87.5, tasters=3, usual=83.0), TEN_LINE)

    assert (again.usual, again.assumed, told.assumed) == (83.0, True, False)
    # By hand, from the shipped medians. Of one look: roast .5, table .4, three tasters of .95 make
    # .25 + .16 + .9025 / 3 = .7108. Told: 4.5 x .7108 / (1.69 + .7108); else 9 more in both.
    assert told.drop == pytest.approx(1.332, abs=1e-3)
    assert again.drop == pytest.approx(4.5 * 0.71083 / (10.69 + 0.71083), abs=1e-3)
