from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crustbreak.numerics.posterior import Effort, Posterior, doubt_at, draw_posterior
from crustbreak.numerics.rating_model import RatingPriors
from crustbreak.numerics.ratings import Ratings, make_ratings

PRIORS = RatingPriors(
    mean=(83.0, 3.0),
    item=(1.3, 0.5),
    batch=(0.5, 0.5),
    rater=(1.1, 0.4),
    session=(0.4, 0.5),
    look=(0.95, 0.35),
    unit=(0.4, 0.5),
    drift=(0.2, 0.5),
    share=(0.0, 1.0),
)
KNOWN = replace(
    PRIORS, **{name: (getattr(PRIORS, name)[0], 1e-6) for name in ("item", "rater", "look")}
)


def table(points: list[list[float | None]]) -> Ratings:
    """Give one session's ratings, a row a rater, without the cells that are missing."""
    cells = [
        (rater, item, value)
        for rater, row in enumerate(points)
        for item, value in enumerate(row)
        if value is not None
    ]
    rater, item, values = zip(*cells, strict=True)
    return make_ratings(
        values,
        {"item": item, "rater": rater},
        units=[5] * len(values),
        stream=[0] * len(points[0]),
    )


def widths(found: Posterior) -> np.ndarray:
    low, high = np.quantile(found.items, [0.05, 0.95], axis=0)
    return high - low


def test_the_same_seed_draws_the_same() -> None:
    ratings = table([[84.0, 85.5, 82.0], [83.0, 86.0, 82.5]])

    first, again = (draw_posterior(ratings, PRIORS, seed=5) for _ in range(2))
    other = draw_posterior(ratings, PRIORS, seed=6)

    assert np.array_equal(first.items, again.items)
    assert not np.array_equal(first.items, other.items)
    assert first.items.shape == (4000, 3)
    assert first.raters.shape == (4000, 2)
    assert set(first.sds) == {
        *("item", "rater", "look", "session", "batch", "unit", "drift"),
        *("private", "own"),
    }


def test_draws_again_where_few_points_count() -> None:
    # A long history bends the spreads' posterior: from its mode alone a tenth of the points count.
    chance = np.random.default_rng(5)
    columns = {
        "item": np.repeat(np.arange(180), 3),
        "rater": np.tile(np.arange(3), 180),
        "session": np.repeat(np.arange(30), 18),
        "period": np.repeat(np.arange(30) // 8, 18),
    }
    values = 83 + 1.3 * chance.standard_normal(180)[columns["item"]]
    values = np.round(4 * (values + chance.standard_normal(540))) / 4

    found = draw_posterior(make_ratings(values, columns, units=[5] * 540), PRIORS, seed=1)

    assert found.effective > 0.35
    assert found.shape < 0.5
    assert found.warnings == ()


def test_says_how_evenly_it_drew() -> None:
    found = draw_posterior(table([[84.0, 85.5, 82.0]]), PRIORS, seed=1)

    assert 0.4 < found.effective <= 1
    assert found.shape < 0.7
    assert found.warnings == ()


def test_shrinks_by_the_textbook_factor_when_the_spreads_are_known() -> None:
    # By hand: one rater, ratings y, differences from the mean of the stream; with everything in
    # common cancelled, an item's difference from the others shrinks by
    # item^2 / (item^2 + batch^2 + look^2 + unit^2/5) (Searle, Casella and McCulloch, Variance
    # Components, 1992, chapter 7; from memory).
    known = replace(
        KNOWN, batch=(0.5, 1e-6), session=(0.4, 1e-6), unit=(0.4, 1e-6), share=(0.0, 1e-6)
    )
    factor = 1.3**2 / (1.3**2 + 0.5**2 + 0.95**2 + 0.4**2 / 5)

    found = draw_posterior(
        table([[84.0, 88.0]]), known, seed=1, effort=Effort(points=64, draws=60_000)
    )

    drawn = found.items[:, 1] - found.items[:, 0]
    assert drawn.mean() == pytest.approx(4 * factor, abs=0.03)
    assert drawn.std() == pytest.approx(1.3 * np.sqrt(2 * (1 - factor)), abs=0.02)


def test_more_raters_know_more_and_two_looks_of_one_less_than_two_raters() -> None:
    row = [84.0, 85.5, 82.0, 83.0]
    one, three = table([row]), table([row, row, row])
    twice = make_ratings(
        row * 2, {"item": [0, 1, 2, 3] * 2, "rater": [0] * 8}, units=[5] * 8, stream=[0] * 4
    )
    two = table([row, row])

    def doubt(ratings: Ratings) -> float:
        drawn = draw_posterior(ratings, PRIORS, seed=1).items
        return float((drawn - drawn.mean(axis=1, keepdims=True)).std(axis=0).mean())

    assert doubt(three) < doubt(two) < doubt(twice) < doubt(one)


@pytest.mark.parametrize(
    "points",
    [
        [[84.0]],
        [[84.0, 84.0, 84.0]] * 3,
        [[84.0, None, 83.0], [None, 85.0, None]],
        [[84.0, 44.0, 83.0], [85.0, 84.5, 83.0]],
        [[100.0, 60.0]] * 6,
    ],
    ids=["one mark", "all equal", "no coffee shared", "40 points off", "far apart"],
)
def test_sad_tables_get_sane_answers_and_never_an_interval_of_no_width(
    points: list[list[float | None]],
) -> None:
    found = draw_posterior(table(points), PRIORS, seed=1)

    assert np.isfinite(found.items).all()
    assert (widths(found) > 0.5).all()
    assert (widths(found) < 30).all()


@settings(max_examples=15, deadline=None)
@given(
    st.lists(
        st.lists(st.integers(240, 400).map(lambda n: n / 4), min_size=3, max_size=3),
        min_size=1,
        max_size=4,
    ),
    st.randoms(use_true_random=False),
)
def test_the_order_of_the_rows_does_not_matter(points: list[list[float]], chance: object) -> None:
    ratings = table(points)
    order = list(range(len(ratings.values)))
    chance.shuffle(order)
    columns = {name: getattr(ratings, name)[order] for name in ("item", "rater")}
    shuffled = make_ratings(
        ratings.values[order], columns, units=ratings.units[order], stream=ratings.stream
    )

    found, again = (
        draw_posterior(each, PRIORS, seed=1, effort=Effort(points=64, draws=100))
        for each in (ratings, shuffled)
    )

    assert again.items == pytest.approx(found.items, abs=1e-6)


def test_the_doubt_before_is_the_spread_of_the_draws_after() -> None:
    # Two ways to the same number: the closed form, and 60,000 draws at known spreads.
    tiny = {
        name: (getattr(PRIORS, name)[0], 1e-6)
        for name in ("item", "batch", "rater", "session", "look", "unit", "share")
    }
    known = replace(PRIORS, **tiny)
    ratings = table([[84.0, 88.0, None], [85.0, None, None]])

    found = draw_posterior(ratings, known, seed=1, effort=Effort(points=64, draws=60_000))
    doubt = doubt_at(ratings, known, found.typical, wanted=[0, 1, 2], raters=[0, 1])

    drawn = found.items + found.raters.mean(axis=1, keepdims=True)
    assert doubt == pytest.approx(drawn.std(axis=0), rel=0.02)
    assert doubt[0] < doubt[1] < doubt[2]
