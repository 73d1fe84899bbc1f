import numpy as np
import pytest

from crustbreak.core.errors import Unacceptable
from crustbreak.numerics.ratings import Ratings, make_ratings


def test_counts_items_raters_sessions_and_streams() -> None:
    ratings = make_ratings([84.0, 85.0], {"item": [0, 2], "rater": [1, 0]}, stream=[0, 0, 1])

    assert isinstance(ratings, Ratings)
    assert (ratings.items, ratings.raters, ratings.sessions, ratings.streams) == (3, 2, 1, 2)
    assert ratings.units.tolist() == [1.0, 1.0]
    assert ratings.batch.tolist() == [0, 0]


def test_counts_raters_who_rated_nothing() -> None:
    assert make_ratings([84.0], {"item": [0], "rater": [0]}, raters=3).raters == 3


def test_takes_no_rating_at_all() -> None:
    ratings = make_ratings([], {"item": [], "rater": []}, stream=[0, 0])

    assert (ratings.items, ratings.raters) == (2, 0)


@pytest.mark.parametrize(
    ("values", "columns", "more", "where"),
    [
        ([np.nan, 84.0], {"item": [0, 1], "rater": [0, 0]}, {}, "values"),
        ([np.inf, 84.0], {"item": [0, 1], "rater": [0, 0]}, {}, "values"),
        ([84.0, 85.0], {"item": [0], "rater": [0, 0]}, {}, "item"),
        ([84.0, 85.0], {"item": [0, -1], "rater": [0, 0]}, {}, "item"),
        ([84.0, 85.0], {"item": [0, 1], "rater": [0, 0]}, {"units": [5, 0]}, "units"),
        ([84.0, 85.0], {"item": [0, 1], "rater": [0, 0]}, {"stream": [0]}, "stream"),
    ],
)
def test_says_which_column_cannot_be_read(
    values: list[float], columns: dict[str, list[int]], more: dict[str, list[int]], where: str
) -> None:
    with pytest.raises(Unacceptable) as refused:
        make_ratings(values, columns, **more)

    assert [problem.where for problem in refused.value.problems] == [where]
    assert refused.value.hint
