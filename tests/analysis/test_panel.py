from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from crustbreak.analysis.panel import (
    DRIFT_DAYS,
    EFFORT,
    BadBowls,
    PanelDraws,
    draw_panel,
    period_before,
    rating_priors,
)
from crustbreak.domain.records.lab_settings import LabSettings
from crustbreak.numerics.rates import exact_upper
from datasets import dataset, simulated_history, with_control
from priors import TEN_LINE

THREE = {
    "Tarn": {"Ines": 85.0, "Wren": 86.0},
    "Fen Cross": {"Ines": 83.0, "Wren": 84.5},
    "Marrow Hill": {"Ines": 82.0, "Wren": 83.0},
}


def test_draws_each_coffee_on_the_scale_of_todays_tasters() -> None:
    panel = draw_panel(dataset(THREE), TEN_LINE)

    assert isinstance(panel, PanelDraws)
    assert panel.totals.shape == (EFFORT.draws, 3)
    assert [coffee.name for coffee in panel.coffees] == list(THREE)
    # Both gave Tarn the most and Marrow Hill the least.
    assert list(np.argsort(-panel.totals.mean(axis=0))) == [0, 1, 2]
    assert (panel.looks, panel.tasters) == ((6, 0), (0, 1))


def test_coffees_of_the_same_marks_look_the_same() -> None:
    panel = draw_panel(dataset({name: {"Ines": 85.0, "Wren": 86.0} for name in THREE}), TEN_LINE)

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
    panel = draw_panel(dataset({**THREE, "Tarn": {"Ines": 85.0, "Wren": None}}), TEN_LINE)

    assert panel.looks == (5, 0)


def test_a_taster_without_a_complete_sheet_counts_for_the_scale_alone() -> None:
    panel = draw_panel(dataset({"Tarn": {"Ines": 85.0, "Wren": None}}), TEN_LINE)

    assert panel.tasters == (0, 1)
    assert np.isfinite(panel.totals).all()


def test_earlier_tables_tell_how_a_taster_marks() -> None:
    # A taster of the history whose looks err little is trusted more than one nobody knows.
    today = {f"Coffee {nth}": {"Taster 0": 82.0 + nth} for nth in range(4)}
    history = simulated_history(tables=12, look_sd=0.3)

    known = draw_panel(dataset(today, history=history), TEN_LINE)
    unknown = draw_panel(dataset(today), TEN_LINE)

    def doubt(panel: PanelDraws) -> float:
        apart = panel.totals - panel.totals.mean(axis=1, keepdims=True)
        return float(apart.std(axis=0).mean())

    assert known.looks == (4, 12 * 18)
    assert doubt(known) < 0.85 * doubt(unknown)


# Spreads as good as known, so that what is known of a lot is a Gaussian that can be worked out.
KNOWN = {
    "coffee": (1.3, 1e-6),
    "roast": (0.5, 1e-6),
    "taster": (1.1, 1e-6),
    "table": (0.4, 1e-6),
    "look": (0.95, 1e-6),
    "cup": (0.4, 1e-6),
    "share": (0.0, 1e-6),
    "bad_bowls": (0.5, 1e6),
}


def test_two_tables_of_one_lot_are_weighed_as_one_gaussian() -> None:
    """Oracle: the conditional of a multivariate normal, written out as dense matrices by numpy."""
    priors = replace(TEN_LINE, **KNOWN)
    before = dataset({"Tarn": {"Ines": 86.0, "Wren": 87.0}}, lots={"Tarn": "tarn"})
    today = dataset({"Tarn": {"Ines": 84.0}}, history=(before,), lots={"Tarn": "tarn"})

    panel = draw_panel(today, priors)

    # Effects: mean, lot, two roasts, Ines, Wren, two tables, private taste of either, three errors.
    mean_sd = priors.mean[1]
    look = 0.95**2
    sizes = [mean_sd**2, 1.3**2, *[0.5**2] * 2, *[1.1**2] * 2, *[0.4**2] * 2, *[look / 2] * 2]
    error = look / 2 + 0.4**2 / 5
    # Today's look of Ines, then hers and Wren's before.
    design = np.array(
        [
            [1, 1, 1, 0, 1, 0, 1, 0, 1, 0],
            [1, 1, 0, 1, 1, 0, 0, 1, 1, 0],
            [1, 1, 0, 1, 0, 1, 0, 1, 0, 1],
        ]
    )
    wanted = np.array([1, 1, 0, 0, 1, 0, 0, 0, 0, 0])
    spread = np.diag(sizes)
    gain = (
        wanted @ spread @ design.T @ np.linalg.inv(design @ spread @ design.T + error * np.eye(3))
    )
    mean = priors.mean[0] + gain @ (np.array([84.0, 86.0, 87.0]) - priors.mean[0])
    sd = np.sqrt(wanted @ spread @ wanted - gain @ design @ spread @ wanted)

    draws = len(panel.totals)
    assert panel.totals.mean() == pytest.approx(mean, abs=4 * sd / np.sqrt(draws))
    assert panel.totals.std() == pytest.approx(sd, rel=4 / np.sqrt(2 * draws))


def test_a_control_carries_the_scale_from_table_to_table() -> None:
    """Oracle: the conditional of a multivariate normal, written out as dense matrices by numpy."""
    priors = replace(TEN_LINE, **KNOWN)
    before = with_control(dataset({"Fen": {"Ines": 83.0}}), "Old Post", {"Ines": 83.0})
    alone = with_control(dataset({"Tarn": {"Ines": 86.0}}), "Old Post", {"Ines": 85.0})
    panel = draw_panel(replace(alone, history=(before,)), priors)

    # Effects: mean, Tarn, Fen, the control, three roasts, Ines, two tables, three private tastes.
    look = 0.95**2
    lots, roasts, tables, tastes = [1.3**2] * 3, [0.5**2] * 3, [0.4**2] * 2, [look / 2] * 3
    sizes = [priors.mean[1] ** 2, *lots, *roasts, 1.1**2, *tables, *tastes]
    error = look / 2 + 0.4**2 / 5
    # Tarn today, Fen before, the control today and before: one roast, one private taste.
    design = np.array(
        [
            [1, 1, 0, 0, 1, 0, 0, 1, 1, 0, 1, 0, 0],
            [1, 0, 1, 0, 0, 1, 0, 1, 0, 1, 0, 1, 0],
            [1, 0, 0, 1, 0, 0, 1, 1, 1, 0, 0, 0, 1],
            [1, 0, 0, 1, 0, 0, 1, 1, 0, 1, 0, 0, 1],
        ]
    )
    wanted = np.array([1, 1, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0])
    spread = np.diag(sizes)
    rows = design @ spread @ design.T + error * np.eye(4)
    gain = wanted @ spread @ design.T @ np.linalg.inv(rows)
    mean = priors.mean[0] + gain @ (np.array([86.0, 83.0, 85.0, 83.0]) - priors.mean[0])
    sd = np.sqrt(wanted @ spread @ wanted - gain @ design @ spread @ wanted)

    draws = len(panel.totals)
    assert panel.totals.shape == (draws, 1)
    assert panel.totals.mean() == pytest.approx(mean, abs=4 * sd / np.sqrt(draws))
    assert panel.totals.std() == pytest.approx(sd, rel=4 / np.sqrt(2 * draws))


def test_a_coffee_of_an_earlier_table_is_another_unless_it_is_of_the_same_lot() -> None:
    before = dataset({"Tarn": {"Ines": 90.0, "Wren": 90.0}}, lots={"Tarn": "tarn"})

    def mean(**lots: str) -> float:
        given = dataset({"Tarn": {"Ines": 83.0, "Wren": 83.0}}, history=(before,), lots=lots)
        return float(draw_panel(given, TEN_LINE).totals.mean())

    assert mean(Tarn="tarn") > mean(Tarn="another") + 1
    assert mean(Tarn="another") == pytest.approx(mean(), abs=0.1)


def test_bowls_of_earlier_tables_of_the_lot_count() -> None:
    flagged = {("Tarn", "Wren"): {2: "taint"}}
    before = dataset(THREE, flagged=flagged, lots={"Tarn": "tarn"})

    panel = draw_panel(dataset(THREE, history=(before,), lots={"Tarn": "tarn"}), TEN_LINE)

    tarn, fen = panel.bad_bowls[:2]
    assert (tarn.found, tarn.bowls) == (1, 10)
    assert (fen.found, fen.bowls) == (0, 5)


def test_counts_bowls_that_anyone_flagged_once() -> None:
    flagged = {
        ("Tarn", "Ines"): {4: "taint"},
        ("Tarn", "Wren"): {4: "fault", 2: "taint"},
    }

    panel = draw_panel(dataset(THREE, flagged=flagged), TEN_LINE)
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
    clean = draw_panel(dataset(THREE), TEN_LINE)
    bad = draw_panel(dataset(THREE, flagged={("Tarn", "Ines"): {1: "fault"}}), TEN_LINE)

    assert np.array_equal(clean.posterior.items, bad.posterior.items)
    lost = clean.totals.mean(axis=0) - bad.totals.mean(axis=0)
    cost = bad.bad_bowls[0].cost - clean.bad_bowls[0].cost
    assert lost[0] == pytest.approx(cost, abs=0.05)
    assert lost[1:] == pytest.approx([0, 0], abs=0.05)


def test_a_coffee_that_nobody_judged_for_bad_bowls_says_so() -> None:
    panel = draw_panel(dataset({"Tarn": {"Ines": None}, "Fen Cross": {"Ines": 84.0}}), TEN_LINE)

    assert (panel.bad_bowls[0].bowls, panel.bad_bowls[0].exact_upper) == (0, 1.0)


NOW = datetime(2031, 3, 4, 9, 30, tzinfo=UTC)


def test_counts_the_periods_that_a_table_lies_back() -> None:
    before = [
        replace(dataset(THREE), at=NOW - timedelta(days=days))
        for days in (1, DRIFT_DAYS - 1, DRIFT_DAYS, 2 * DRIFT_DAYS + 5)
    ]
    given = replace(dataset(THREE), at=NOW, history=tuple(before))

    assert [period_before(given, session) for session in range(5)] == [0, 0, 0, 1, 2]
    # Nobody knows when: it is taken to be today.
    assert period_before(replace(given, at=None), 4) == 0


def test_a_coffee_is_read_on_the_scale_of_an_anchor_who_did_not_taste_it() -> None:
    """Oracle: the conditional of a multivariate normal, written out as dense matrices by numpy."""
    priors = replace(TEN_LINE, **KNOWN, drift=(0.6, 1e-6))
    before = dataset({"Fen": {"Ines": 86.0, "Wren": 83.0}})
    before = replace(before, at=NOW - timedelta(days=2 * DRIFT_DAYS + 5))
    today = replace(
        dataset({"Tarn": {"wren": 84.0}}, history=(before,)),
        at=NOW,
        lab_settings=LabSettings(anchors=("INES", "Nobody")),
    )

    panel = draw_panel(today, priors)

    # Effects: mean, Tarn, Fen, two roasts, Wren and Ines as they taste today, how far either went
    # in two periods, two tables, private taste of Wren's Tarn, of Ines's Fen and of Wren's.
    look = 0.95**2
    steps = [2 * 0.6**2] * 2
    sizes = [3.0**2, *[1.3**2] * 2, *[0.5**2] * 2, *[1.1**2] * 2, *steps, *[0.4**2] * 2]
    sizes += [look / 2] * 3
    error = look / 2 + 0.4**2 / 5
    design = np.array(
        [
            [1, 1, 0, 1, 0, 1, 0, 0, 0, 1, 0, 1, 0, 0],
            [1, 0, 1, 0, 1, 0, 1, 0, 1, 0, 1, 0, 1, 0],
            [1, 0, 1, 0, 1, 1, 0, 1, 0, 0, 1, 0, 0, 1],
        ]
    )
    wanted = np.array([1, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0])
    spread = np.diag(sizes)
    gain = (
        wanted @ spread @ design.T @ np.linalg.inv(design @ spread @ design.T + error * np.eye(3))
    )
    mean = priors.mean[0] + gain @ (np.array([84.0, 86.0, 83.0]) - priors.mean[0])
    sd = np.sqrt(wanted @ spread @ wanted - gain @ design @ spread @ wanted)

    draws = len(panel.totals)
    assert (panel.anchors, panel.scale, panel.tasters) == (("INES",), (1,), (0,))
    assert panel.totals.mean() == pytest.approx(mean, abs=4 * sd / np.sqrt(draws))
    assert panel.totals.std() == pytest.approx(sd, rel=4 / np.sqrt(2 * draws))


def test_without_an_anchor_that_tasted_todays_tasters_are_the_scale() -> None:
    given = replace(dataset(THREE), lab_settings=LabSettings(anchors=("Nobody",)))

    panel = draw_panel(given, TEN_LINE)

    assert (panel.anchors, panel.scale) == ((), (0, 1))


def test_bad_bowls_are_of_the_bowls_that_count() -> None:
    plain = dataset({"Tarn": {"Ines": 84.0}}, flagged={("Tarn", "Ines"): {3: "taint"}})
    looks = tuple(
        replace(rating, cups=2, score=replace(rating.score, bowls=(1, 3)))
        for rating in plain.ratings
    )

    (bad,) = draw_panel(replace(plain, ratings=looks), TEN_LINE).bad_bowls

    assert (bad.found, bad.bowls) == (1, 2)
