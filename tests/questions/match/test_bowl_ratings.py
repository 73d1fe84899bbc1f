"""The marks of all sittings of one answer, and what is drawn from them."""

from dataclasses import replace

import numpy as np
import pytest

from bowls import bowls, difference_priors, table_of
from crustbreak.analysis.dataset import Dataset
from crustbreak.questions.match.bowl_ratings import (
    MatchDraws,
    draw_match,
    mark_of,
    match_priors,
    sittings_of,
    spreads_known,
    spreads_of,
    strata_of,
)
from crustbreak.questions.match.decision_rule import Spreads

CONTROL, COMPARED = (0.5, 1.0, 0.5), (2.5, 2.0, 3.0)


def chain() -> tuple[Dataset, Dataset, Dataset]:
    """Give three sittings: the second adds to the first, the third to the second."""
    first = bowls(CONTROL, COMPARED, id="t1")
    second = bowls(CONTROL, COMPARED, id="t2", follows="t1", history=(first,))
    third = bowls(CONTROL, COMPARED, id="t3", follows="t2", history=(second, first))
    return first, second, third


def drawn(dataset: Dataset) -> MatchDraws:
    return draw_match(dataset, sittings_of(dataset), difference_priors())


def test_sittings_of_one_answer_follow_each_other_from_the_first_on() -> None:
    first, second, third = chain()

    assert [each.id for each in sittings_of(third)] == ["t1", "t2", "t3"]
    assert [each.id for each in sittings_of(first)] == ["t1"]
    assert second.follows == first.id


def test_an_earlier_table_that_was_not_added_to_is_no_sitting() -> None:
    first = bowls(CONTROL, COMPARED, id="t1")
    other = bowls(CONTROL, COMPARED, id="t2", history=(first,))

    assert sittings_of(other) == (other,)


def test_a_table_that_has_gone_ends_the_row() -> None:
    lost = bowls(CONTROL, COMPARED, id="t2", follows="nowhere")

    assert sittings_of(lost) == (lost,)


def test_tasters_stand_below_each_other_and_bowls_beside() -> None:
    marks = {"Odile": ((0, 1), (2, 3)), "Anouk": ((1, None), (2, 2))}

    (stratum,) = strata_of([table_of(marks)])

    # Anouk first, by the alphabet; codes likewise.
    assert stratum.treated.tolist() == [False, False, True, True]
    np.testing.assert_array_equal(stratum.values, [[1, np.nan, 2, 2], [0, 1, 2, 3]])


def test_a_mark_is_the_sheet_s_one_figure_or_none() -> None:
    dataset = table_of({"Odile": ((None,), (2.5,))})

    assert [mark_of(rating) for rating in dataset.ratings] == [None, 2.5]


def test_the_difference_drawn_is_that_of_the_marks_where_they_are_many() -> None:
    # Sixty bowls of each: nothing that was assumed weighs against them.
    chance = np.random.default_rng(2)
    control = np.round(2 * (1.5 + 0.5 * chance.standard_normal(60))) / 2
    compared = np.round(2 * (3.0 + 0.5 * chance.standard_normal(60))) / 2

    detectable_difference = drawn(
        bowls(control.clip(0, 5).tolist(), compared.clip(0, 5).tolist())
    ).detectable_difference

    means = compared.mean() - control.mean()
    assert detectable_difference.mean() == pytest.approx(means, abs=0.05)
    # The deviation of a difference of two means.
    error = np.sqrt(control.var(ddof=1) / 60 + compared.var(ddof=1) / 60)
    assert detectable_difference.std() == pytest.approx(error, rel=0.3)


def test_more_sittings_of_one_answer_make_it_surer() -> None:
    first, _, third = chain()

    assert (
        drawn(third).detectable_difference.std() < 0.75 * drawn(first).detectable_difference.std()
    )


def test_an_earlier_answer_says_how_tasters_spread_and_nothing_of_the_difference() -> None:
    uneven = bowls((0, 3, 0, 3, 0), (3, 0, 3, 0, 3), id="t0")
    alone = bowls(CONTROL, COMPARED, id="t2")
    later = bowls(CONTROL, COMPARED, id="t2", history=(uneven, uneven))

    assert drawn(later).tables == 2
    assert drawn(alone).tables == 0
    # Whoever scattered so is less sure, of a difference that stays where its own bowls put it.
    assert drawn(later).detectable_difference.std() > 1.3 * drawn(alone).detectable_difference.std()
    assert drawn(later).detectable_difference.mean() == pytest.approx(
        drawn(alone).detectable_difference.mean(), abs=0.3
    )


def test_tasters_who_always_wrote_down_one_mark_together_can_be_weighed() -> None:
    chance = np.random.default_rng(30_005)
    together = [
        bowls(*_scattered(chance), tasters=("Odile", "Anouk", "Bram"), id=f"t{nth}")
        for nth in range(31)
    ]

    detectable_difference = drawn(
        replace(together[-1], history=tuple(together[:-1]))
    ).detectable_difference

    # Three who speak as one are no surer of six bowls than one: as the tables themselves spread.
    spread = np.std([np.subtract(*_means(each)) for each in together])
    assert detectable_difference.std() == pytest.approx(spread, rel=0.4)


def _scattered(chance: np.random.Generator) -> list[list[float]]:
    latent = np.array([[0.5], [1.0]]) + 0.8 * chance.standard_normal((2, 3))
    marks: list[list[float]] = np.clip(np.round(2 * latent) / 2, 0, 5).tolist()
    return marks


def _means(dataset: Dataset) -> list[float]:
    """Give the mean of each coffee's marks."""
    return [
        float(
            np.mean(
                [mark_of(rating) or 0.0 for rating in dataset.ratings if rating.coffee == coffee]
            )
        )
        for coffee in dataset.coffees
    ]


def test_a_private_taste_is_asked_for_only_among_several() -> None:
    priors = difference_priors()

    alone, several = (match_priors(priors, of_one=each) for each in (True, False))

    assert several.share == priors.share
    # Less than one in a hundred thousand of the error.
    assert 1 / (1 + np.exp(-alone.share[0])) < 1e-5
    assert alone.batch == several.batch == priors.cup


def test_without_a_table_the_spreads_are_what_is_assumed() -> None:
    priors = difference_priors()

    spreads, tables = spreads_known((), priors)

    # The two parts of a look's variance make it up again.
    assert spreads.own**2 + spreads.private**2 == pytest.approx(priors.look[0] ** 2)
    assert (spreads.bowl, tables) == (priors.cup[0], 0)


def test_a_house_that_spreads_little_is_known_for_it() -> None:
    steady = [bowls((0.5,) * 5, (2.0,) * 5, id=f"t{nth}") for nth in range(6)]
    uneven = [bowls((0, 3, 0, 3, 0), (4, 1, 4, 1, 5), id=f"t{nth}") for nth in range(6)]

    calm, tables = spreads_known(steady, difference_priors())
    wild, _ = spreads_known(uneven, difference_priors())

    assert tables == 6
    assert calm.own < 0.5
    assert wild.own > 1.0


def test_spreads_are_the_middle_of_what_was_drawn() -> None:
    draws = drawn(bowls(CONTROL, COMPARED))

    spreads = spreads_of(draws.posterior)

    assert isinstance(spreads, Spreads)
    assert np.mean(draws.posterior.sds["own"] < spreads.own) == pytest.approx(0.5, abs=0.01)
    assert draws.errors.min() > 0
