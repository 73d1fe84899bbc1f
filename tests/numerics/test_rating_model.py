import numpy as np
import pytest
from scipy.special import expit
from scipy.stats import multivariate_normal

from crustbreak.numerics.long_item import LONG
from crustbreak.numerics.rating_model import (
    NAMES,
    SPREADS,
    Model,
    RatingPriors,
    make_model,
)
from crustbreak.numerics.ratings import Ratings, make_ratings

PRIORS = RatingPriors(
    mean=(80.0, 2.0),
    item=(1.3, 0.5),
    batch=(0.5, 0.4),
    rater=(1.1, 0.3),
    session=(0.4, 0.2),
    look=(0.9, 0.35),
    unit=(0.4, 0.6),
    drift=(0.3, 0.4),
    share=(0.2, 0.8),
)


def untidy(rows: int = 40, seed: int = 3) -> Ratings:
    """Give ratings in which every effect is shared by some rows and not by others."""
    rng = np.random.default_rng(seed)
    columns = {
        "item": rng.integers(0, 6, rows),
        "batch": rng.integers(0, 2, rows),
        "rater": rng.integers(0, 3, rows),
        "session": rng.integers(0, 4, rows),
        # Rater 2 has no rating of the present, and one period has none at all.
        "period": np.array([0, 1, 4])[rng.integers(0, 3, rows)],
    }
    columns["period"][columns["rater"] == 2] += 1
    stream = np.array([0, 1, 0, 1, 0, 1])
    return make_ratings(
        80 + 2 * rng.standard_normal(rows),
        columns,
        units=rng.integers(1, 6, rows),
        stream=stream,
    )


def covariance(ratings: Ratings, point: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Give the covariance of the rows, and that of the rows with stream + item, by definition."""
    sd = {
        name: getattr(PRIORS, name)[0] * np.exp(getattr(PRIORS, name)[1] * z)
        for name, z in zip(NAMES, point, strict=False)
    }
    share = expit(PRIORS.share[0] + PRIORS.share[1] * point[-1])
    same = {
        name: np.equal.outer(getattr(ratings, name), getattr(ratings, name))
        for name in ("item", "batch", "rater", "session")
    }
    stream = ratings.stream[ratings.item]
    rows = PRIORS.mean[1] ** 2 * np.equal.outer(stream, stream)
    rows = rows + sd["item"] ** 2 * same["item"]
    rows += sd["batch"] ** 2 * (same["item"] & same["batch"])
    rows += sd["rater"] ** 2 * same["rater"] + sd["session"] ** 2 * same["session"]
    # A random walk back from the present: two periods share the steps to the nearer one.
    shared = np.minimum.outer(ratings.period, ratings.period)
    rows += sd["drift"] ** 2 * shared * same["rater"]
    rows += share * sd["look"] ** 2 * (same["item"] & same["rater"])
    rows += np.diag((1 - share) * sd["look"] ** 2 + sd["unit"] ** 2 / ratings.units)
    target = PRIORS.mean[1] ** 2 * np.equal.outer(ratings.stream, stream)
    target = target + sd["item"] ** 2 * np.equal.outer(np.arange(ratings.items), ratings.item)
    return rows, target


def test_the_density_is_that_of_one_large_gaussian() -> None:
    # Oracle: scipy.stats.multivariate_normal with the covariance written out by definition.
    ratings = untidy()
    points = np.random.default_rng(4).standard_normal((5, SPREADS))

    found = make_model(ratings, PRIORS).log_density(points)

    expected = [
        multivariate_normal(np.full(40, 80.0), covariance(ratings, point)[0]).logpdf(ratings.values)
        - 0.5 * (point**2).sum()
        for point in points
    ]
    assert np.diff(found) == pytest.approx(np.diff(expected), abs=1e-8)


def test_many_items_of_one_pattern_and_one_item_of_many_rows_come_out_the_same() -> None:
    # The two ways of adding up, against the same oracle: 1 item x 30 rows, 30 items x 2 rows.
    long = make_ratings(
        np.linspace(78, 83, 30),
        {"item": np.zeros(30), "rater": np.arange(30) % 3, "session": np.arange(30) // 3},
    )
    wide = make_ratings(
        np.linspace(78, 83, 60), {"item": np.arange(60) % 30, "rater": np.arange(60) // 30}
    )
    points = np.random.default_rng(5).standard_normal((3, SPREADS))
    # And so many rows that they are added up beforehand.
    longer = make_ratings(
        np.linspace(78, 83, 90),
        {"item": np.arange(90) % 2, "rater": np.arange(90) % 3, "session": np.arange(90) // 3},
        units=1 + np.arange(90) % 5,
    )

    for ratings in (long, wide, longer):
        model = make_model(ratings, PRIORS)
        expected = [
            multivariate_normal(
                np.full(len(ratings.values), 80.0), covariance(ratings, point)[0]
            ).logpdf(ratings.values)
            - 0.5 * (point**2).sum()
            for point in points
        ]

        assert isinstance(model, Model)
        assert np.diff(model.log_density(points)) == pytest.approx(np.diff(expected), abs=1e-7)


# A short history, and one whose items have so many rows that they are added up beforehand.
@pytest.mark.parametrize("rows", [40, 8 * LONG])
def test_draws_at_one_point_have_the_textbook_mean_and_covariance(rows: int) -> None:
    # Oracle: conditional mean and covariance of a joint Gaussian, written out by definition.
    ratings = untidy(rows)
    point = np.random.default_rng(6).standard_normal((1, SPREADS))
    within, target = covariance(ratings, point[0])
    gain = target @ np.linalg.inv(within)
    prior = PRIORS.mean[1] ** 2 * np.equal.outer(ratings.stream, ratings.stream)
    prior = prior + np.eye(6) * PRIORS.spreads(point)["item"] ** 2
    draws = 200_000

    items, raters = make_model(ratings, PRIORS).draw(
        point, np.zeros(draws, dtype=int), np.arange(6), np.random.default_rng(7)
    )

    mean = 80 + gain @ (ratings.values - 80)
    spread = prior - gain @ target.T
    # Five Monte Carlo standard errors.
    assert items.mean(axis=0) == pytest.approx(mean, abs=5 * np.sqrt(spread.max() / draws))
    assert np.cov(items.T) == pytest.approx(spread, abs=5 * 2 * spread.max() / np.sqrt(draws))
    assert raters.shape == (draws, 3)


def test_draws_of_a_long_history_are_each_made_at_the_point_that_is_theirs() -> None:
    ratings, points = untidy(8 * LONG), np.zeros((2, SPREADS))
    # At the second point the raters are far more apart from each other.
    points[1, NAMES.index("rater")] = 8
    model, chosen = make_model(ratings, PRIORS), np.repeat([0, 1, 0], 4_000)

    _, raters = model.draw(points, chosen, np.arange(6), np.random.default_rng(7))

    spread = [part.std() for part in np.split(raters, 3)]
    assert spread[1] > 1.5 * spread[0]
    assert spread[2] == pytest.approx(spread[0], rel=0.1)


def test_an_item_without_a_rating_is_known_by_its_prior() -> None:
    ratings = make_ratings([], {"item": [], "rater": []}, stream=[0])
    point = np.zeros((1, SPREADS))

    items, _ = make_model(ratings, PRIORS).draw(
        point, np.zeros(50_000, dtype=int), np.array([0]), np.random.default_rng(8)
    )

    assert items.mean() == pytest.approx(80, abs=0.05)
    assert items.std() == pytest.approx(np.hypot(2.0, 1.3), abs=0.05)
