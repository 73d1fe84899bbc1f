from dataclasses import replace

import numpy as np
import pytest

from crustbreak.analysis.dataset import Frame
from crustbreak.analysis.duplicates import Apart, Double, find_doubles
from crustbreak.analysis.panel import draw_panel
from looks import frame
from priors import TEN_LINE


def doubled(first: float | None, second: float | None) -> Frame:
    """Give a table at which Tarn stood twice, with what Ines gave it under either code."""
    plain = frame({"Tarn": {"Ines": first}, "Fen": {"Ines": 83.0}})
    other = frame({"Tarn": {"Ines": second}}).looks[0]
    return replace(plain, looks=(*plain.looks, replace(other, code="999")))


def test_says_how_far_apart_a_taster_had_one_coffee() -> None:
    given = doubled(85.0, 83.75)

    (found,) = find_doubles(given, None)

    assert isinstance(found, Double)
    assert (found.coffee, found.codes) == ("Tarn", ("527", "999"))
    assert found.apart == (Apart(taster="Ines", points=1.25),)
    assert found.within is None


def test_an_open_sheet_tells_nothing() -> None:
    (found,) = find_doubles(doubled(85.0, None), None)

    assert found.apart == (Apart(taster="Ines", points=None),)


def test_nothing_stood_twice() -> None:
    assert find_doubles(frame({"Tarn": {"Ines": 85.0}}), None) == ()


def test_two_looks_lie_as_close_as_the_spreads_say() -> None:
    """Oracle: the spread of a difference of two errors, by hand."""
    known = {"look": (0.95, 1e-6), "cup": (0.4, 1e-6), "share": (0.0, 1e-6)}
    given = doubled(85.0, 84.0)
    panel = draw_panel(given, replace(TEN_LINE, **known))

    (found,) = find_doubles(given, panel)

    # Half of the look's variance is the error of the one look; five bowls share the cup's.
    assert found.within == pytest.approx(1.645 * np.sqrt(2 * (0.95**2 / 2 + 0.4**2 / 5)), rel=1e-3)


def test_fewer_bowls_make_two_looks_lie_further_apart() -> None:
    given = doubled(85.0, 83.75)
    panel = draw_panel(given, TEN_LINE)
    one = replace(given, looks=tuple(replace(look, cups=1) for look in given.looks))

    (five_bowls,), (one_bowl,) = (find_doubles(each, panel) for each in (given, one))

    assert five_bowls.within is not None
    assert one_bowl.within is not None
    assert one_bowl.within > five_bowls.within
