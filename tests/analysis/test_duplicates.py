from dataclasses import replace

import numpy as np
import pytest

from crustbreak.analysis.dataset import Dataset
from crustbreak.analysis.duplicates import Apart, DuplicatePair, find_duplicates
from crustbreak.analysis.panel import draw_panel
from datasets import dataset
from priors import TEN_LINE


def doubled(first: float | None, second: float | None) -> Dataset:
    """Give a table at which Tarn stood twice, with what Ines gave it under either code."""
    plain = dataset({"Tarn": {"Ines": first}, "Fen": {"Ines": 83.0}})
    other = dataset({"Tarn": {"Ines": second}}).ratings[0]
    return replace(plain, ratings=(*plain.ratings, replace(other, code="999")))


def test_says_how_far_apart_a_taster_had_one_coffee() -> None:
    given = doubled(85.0, 83.75)

    (found,) = find_duplicates(given, None)

    assert isinstance(found, DuplicatePair)
    assert (found.coffee, found.codes) == ("Tarn", ("527", "999"))
    assert found.apart == (Apart(taster="Ines", points=1.25),)
    assert found.within is None


def test_an_open_sheet_tells_nothing() -> None:
    (found,) = find_duplicates(doubled(85.0, None), None)

    assert found.apart == (Apart(taster="Ines", points=None),)


def test_nothing_stood_twice() -> None:
    assert find_duplicates(dataset({"Tarn": {"Ines": 85.0}}), None) == ()


def test_two_looks_lie_as_close_as_the_spreads_say() -> None:
    """Oracle: the spread of a difference of two errors, by hand."""
    known = {"look": (0.95, 1e-6), "cup": (0.4, 1e-6), "share": (0.0, 1e-6)}
    given = doubled(85.0, 84.0)
    panel = draw_panel(given, replace(TEN_LINE, **known))

    (found,) = find_duplicates(given, panel)

    # Half of the look's variance is the error of the one look; five bowls share the cup's.
    assert found.within == pytest.approx(1.645 * np.sqrt(2 * (0.95**2 / 2 + 0.4**2 / 5)), rel=1e-3)


def test_fewer_bowls_make_two_looks_lie_further_apart() -> None:
    given = doubled(85.0, 83.75)
    panel = draw_panel(given, TEN_LINE)
    one = replace(given, ratings=tuple(replace(rating, cups=1) for rating in given.ratings))

    (five_bowls,), (one_bowl,) = (find_duplicates(each, panel) for each in (given, one))

    assert five_bowls.within is not None
    assert one_bowl.within is not None
    assert one_bowl.within > five_bowls.within
