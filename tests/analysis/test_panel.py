import numpy as np
import pytest

from crustbreak.analysis.panel import EFFORT, BadBowls, PanelDraws, draw_panel, rating_priors
from crustbreak.numerics.rates import exact_upper
from looks import frame, simulated_history
from priors import TEN_LINE

THREE = {
    "Tarn": {"Ines": 85.0, "Wren": 86.0},
    "Fen Cross": {"Ines": 83.0, "Wren": 84.5},
    "Marrow Hill": {"Ines": 82.0, "Wren": 83.0},
}


def test_draws_each_coffee_on_the_scale_of_todays_tasters() -> None:
    panel = draw_panel(frame(THREE), TEN_LINE)

    assert isinstance(panel, PanelDraws)
    assert panel.totals.shape == (EFFORT.draws, 3)
    assert [coffee.name for coffee in panel.coffees] == list(THREE)
    # Both gave Tarn the most and Marrow Hill the least.
    assert list(np.argsort(-panel.totals.mean(axis=0))) == [0, 1, 2]
    assert (panel.looks, panel.tasters) == ((6, 0), (0, 1))


def test_coffees_of_the_same_marks_look_the_same() -> None:
    panel = draw_panel(frame({name: {"Ines": 85.0, "Wren": 86.0} for name in THREE}), TEN_LINE)

    over = (panel.totals > 84).mean(axis=0)

    # Four standard errors of a chance of about 0.8 from 16,000 draws, twice.
    assert np.ptp(over) < 4 * np.sqrt(2 * 0.8 * 0.2 / 16_000)


def test_names_the_priors_as_the_arithmetic_does() -> None:
    told = rating_priors(TEN_LINE)

    assert (told.item, told.rater, told.batch) == (
        TEN_LINE.coffee,
        TEN_LINE.taster,
        TEN_LINE.roast,
    )
    assert (told.session, told.unit, told.look) == (TEN_LINE.table, TEN_LINE.cup, TEN_LINE.look)


def test_a_sheet_that_is_not_complete_is_no_look() -> None:
    panel = draw_panel(frame({**THREE, "Tarn": {"Ines": 85.0, "Wren": None}}), TEN_LINE)

    assert panel.looks == (5, 0)


def test_a_taster_without_a_complete_sheet_counts_for_the_scale_alone() -> None:
    panel = draw_panel(frame({"Tarn": {"Ines": 85.0, "Wren": None}}), TEN_LINE)

    assert panel.tasters == (0, 1)
    assert np.isfinite(panel.totals).all()


def test_earlier_tables_tell_how_a_taster_marks() -> None:
    # A taster of the history whose looks err little is trusted more than one nobody knows.
    today = {f"Coffee {nth}": {"Taster 0": 82.0 + nth} for nth in range(4)}
    history = simulated_history(tables=12, look_sd=0.3)

    known = draw_panel(frame(today, history=history), TEN_LINE)
    unknown = draw_panel(frame(today), TEN_LINE)

    def doubt(panel: PanelDraws) -> float:
        apart = panel.totals - panel.totals.mean(axis=1, keepdims=True)
        return float(apart.std(axis=0).mean())

    assert known.looks == (4, 12 * 18)
    assert doubt(known) < 0.85 * doubt(unknown)


def test_counts_bowls_that_anyone_flagged_once() -> None:
    flagged = {
        ("Tarn", "Ines"): {4: "taint"},
        ("Tarn", "Wren"): {4: "fault", 2: "taint"},
    }

    panel = draw_panel(frame(THREE, flagged=flagged), TEN_LINE)
    tarn, fen = panel.bad_bowls[:2]

    assert isinstance(tarn, BadBowls)
    assert (tarn.found, tarn.bowls, fen.found) == (2, 5, 0)
    assert tarn.upper > fen.upper
    assert fen.exact_upper == pytest.approx(exact_upper(0, 5), abs=1e-4)
    # Five bowls, a rate of about (0.5 + 2) / (10 + 5), noticed about 8 times in 10, at 2 or 4
    # points a bowl: between 5 x 0.17 x 0.6 x 2 and 5 x 0.2 x 0.9 x 4.
    assert 1.0 < tarn.cost < 3.6
    assert fen.cost < 0.5


def test_bad_bowls_come_off_the_total_and_not_off_the_quality() -> None:
    clean = draw_panel(frame(THREE), TEN_LINE)
    bad = draw_panel(frame(THREE, flagged={("Tarn", "Ines"): {1: "fault"}}), TEN_LINE)

    assert np.array_equal(clean.posterior.items, bad.posterior.items)
    lost = clean.totals.mean(axis=0) - bad.totals.mean(axis=0)
    cost = bad.bad_bowls[0].cost - clean.bad_bowls[0].cost
    assert lost[0] == pytest.approx(cost, abs=0.05)
    assert lost[1:] == pytest.approx([0, 0], abs=0.05)


def test_a_coffee_that_nobody_judged_for_bad_bowls_says_so() -> None:
    panel = draw_panel(frame({"Tarn": {"Ines": None}, "Fen Cross": {"Ines": 84.0}}), TEN_LINE)

    assert (panel.bad_bowls[0].bowls, panel.bad_bowls[0].exact_upper) == (0, 1.0)
