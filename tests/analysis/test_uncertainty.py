from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from crustbreak.analysis.panel import draw_panel
from crustbreak.analysis.uncertainty import (
    CoffeeUncertainty,
    Interval,
    Parting,
    Spreading,
    Uncertainty,
    estimate_uncertainty,
    few_bowls_warnings,
    interval_of,
)
from crustbreak.domain.records.lab_settings import LabSettings
from datasets import dataset, with_control
from priors import TEN_LINE

APART = {
    "Fen Cross": {"Ines": 82.0, "Wren": 83.0, "Tomas": 82.5},
    "Tarn": {"Ines": 87.0, "Wren": 88.0, "Tomas": 87.5},
    "Marrow Hill": {"Ines": 84.0, "Wren": 85.0, "Tomas": 84.5},
}


def sure_of(totals: dict[str, dict[str, float | None]], **asked: object) -> Uncertainty:
    given = dataset(totals, **asked)
    return estimate_uncertainty(given, TEN_LINE, draw_panel(given, TEN_LINE))


def test_puts_the_likeliest_best_first_with_its_chances() -> None:
    sure = sure_of(APART)

    assert all(isinstance(each, CoffeeUncertainty) for each in sure.coffees)
    assert [each.coffee for each in sure.coffees] == ["Tarn", "Marrow Hill", "Fen Cross"]
    for nth, each in enumerate(sure.coffees):
        assert sum(each.ranks) == pytest.approx(1, abs=1e-3)
        assert each.ranks[nth] == max(each.ranks)
        assert each.total.low < each.total.inner_low < each.total.mean < each.total.inner_high
    assert [high.over > low.over for high, low in pairwise(sure.coffees)] == [True, True]
    assert sure.beats[0][1] + sure.beats[1][0] == pytest.approx(1, abs=1e-3)
    assert sure.beats[0][2] > 0.95
    assert sure.ties[0][2] < 0.05


def test_reads_an_interval_off_draws() -> None:
    found = interval_of(np.linspace(0, 100, 10_001))

    assert found == Interval(mean=50, low=5, inner_low=25, inner_high=75, high=95)


def test_expects_the_best_to_drop_and_the_worst_to_rise() -> None:
    # Winner's curse: what came out best was also lucky. No bad bowls here, or little of them.
    sure = sure_of(APART)

    assert sure.coffees[0].drop is not None
    assert sure.coffees[-1].drop is not None
    assert sure.coffees[0].drop > 0
    assert sure.coffees[0].drop > sure.coffees[-1].drop


def test_says_whose_scale_and_from_what_it_is_known() -> None:
    alone, several = sure_of({"Tarn": {"Ines": 84.0}}), sure_of(APART)

    assert alone.scale.startswith("Ines's own; relative only")
    assert several.scale.startswith("of today's tasters together; relative only")
    assert (several.looks, several.looks_before, several.tables_before) == (9, 0, 0)
    assert several.priors == TEN_LINE
    assert {each.source for each in several.sources if isinstance(each, Spreading)} == {
        "from coffee to coffee",
        "one taster's look at one coffee",
        "from taster to taster, on everything",
        "from table to table",
    }
    # 1.645 deviations of a look hold nine in ten.
    assert several.look == pytest.approx(1.645 * several.sources[1].size.mean, rel=0.15)


def test_names_the_look_that_parts_from_the_others() -> None:
    odd = {**APART, "Tarn": {"Ines": 87.0, "Wren": 78.0, "Tomas": 87.5}}

    partings = sure_of(odd).partings

    assert isinstance(partings[0], Parting)
    assert (partings[0].taster, partings[0].coffee) == ("Wren", "Tarn")
    # By hand: rows less their means, less the columns' means: -10 x (2/3) x (2/3) or so.
    assert partings[0].points == pytest.approx(-10 * 4 / 9, abs=0.3)
    assert sure_of(APART).partings == ()


@pytest.mark.parametrize(
    ("totals", "said"),
    [
        ({"Tarn": {"Ines": 84.0}, "Fen": {"Ines": 83.0}}, "One taster"),
        ({"Tarn": {"Ines": 84.0, "Wren": None}, "Fen": {"Ines": 83.0, "Wren": 84}}, "1 of 4"),
        ({"Tarn": {"Ines": 84.0, "Wren": 84.0}, "Fen": {"Ines": 84.0, "Wren": 84}}, "same sum"),
        (
            {"Tarn": {"Ines": 84.0, "Wren": None}, "Fen": {"Ines": None, "Wren": 84.0}},
            "share no coffee",
        ),
    ],
)
def test_warns_of_what_a_table_lacks(totals: dict[str, dict[str, float | None]], said: str) -> None:
    assert any(said in warning for warning in sure_of(totals).warnings)
    assert sure_of(APART).warnings == ()


def test_two_groups_that_a_third_taster_joins_are_no_strangers() -> None:
    joined = {
        "Tarn": {"Ines": 84.0, "Bo": 84.5},
        "Fen": {"Wren": 84.0, "Bo": 83.5},
    }

    assert not any("share no coffee" in warning for warning in sure_of(joined).warnings)


@pytest.mark.parametrize(
    "totals",
    [
        {"Tarn": {"Ines": None}},
        {"Tarn": {"Ines": 84.0}},
        {"Tarn": {"Ines": 84.0, "Wren": 44.0}, "Fen": {"Ines": 84.0, "Wren": 84.0}},
        {"Tarn": {"Ines": 100.0}, "Fen": {"Ines": 60.0}},
    ],
)
def test_sad_tables_get_an_interval_that_has_a_width(
    totals: dict[str, dict[str, float | None]],
) -> None:
    sure = sure_of(totals)

    for each in sure.coffees:
        assert each.total.high - each.total.low > 0.5
        assert 0 <= each.over <= 1


def test_the_same_table_says_the_same() -> None:
    assert sure_of(APART) == sure_of(APART)
    assert sure_of(APART, seed=2) != replace(sure_of(APART), seed=2)


NOW = datetime(2031, 3, 4, 9, 30, tzinfo=UTC)


def anchored(*anchors: str, **asked: Any) -> Uncertainty:
    given = replace(dataset(APART, **asked), lab_settings=LabSettings(anchors=anchors), at=NOW)
    return estimate_uncertainty(given, TEN_LINE, draw_panel(given, TEN_LINE))


def test_says_whose_mean_the_houses_scale_is() -> None:
    assert anchored("Ines", "Wren").scale.startswith(
        "on the house's scale, the mean of Ines and Wren; relative only"
    )
    assert anchored("Ines").scale.startswith("on the house's scale, which is Ines's; relative")


def test_warns_of_an_anchor_who_has_not_tasted() -> None:
    some, none = anchored("Ines", "Bo"), anchored("Bo")

    assert "Bo: named as anchor, and has not tasted on this sheet." in some.warnings
    assert any(each.startswith("No anchor of the house's scale has") for each in none.warnings)
    assert none.scale.startswith("of today's tasters together")


def test_warns_of_a_control_that_took_over_too_soon() -> None:
    plain = dataset(APART)
    old = with_control(plain, "Old Post", {"Ines": 83.0}, lot="old")
    new = with_control(plain, "New Post", {"Ines": 83.0}, lot="new")
    given = replace(new, history=(old,))

    sure = estimate_uncertainty(given, TEN_LINE, draw_panel(given, TEN_LINE))

    assert any(
        each.startswith("The control New Post follows Old Post; they stood together at 0 of the 6")
        for each in sure.warnings
    )


def test_says_how_a_taster_drifts_where_earlier_quarters_tell_of_it() -> None:
    said = "one taster, from one quarter of a year to the next"
    long_ago = replace(dataset(APART), at=NOW - timedelta(days=200))
    lately = replace(dataset(APART), at=NOW - timedelta(days=2))

    assert said in {each.source for each in anchored(history=(long_ago,)).sources}
    assert said not in {each.source for each in anchored(history=(lately,)).sources}


def test_a_drop_is_what_the_same_tasters_would_give_and_not_the_houses_scale() -> None:
    # Ines gives a point more than the others: on the scale of the others all is lower.
    plain = sure_of(APART)
    other = anchored("Wren")

    assert plain.leaning == 0
    assert other.leaning != 0
    for mine, theirs in zip(plain.coffees, other.coffees, strict=True):
        assert mine.drop == pytest.approx(theirs.drop, abs=0.05)
        assert theirs.total.mean == pytest.approx(mine.total.mean - other.leaning, abs=0.05)


def test_says_that_fewer_bowls_than_the_sheet_has_count_for_more() -> None:
    plain = dataset({"Tarn": {"Ines": 84.0}, "Fen": {"Ines": 83.0}})
    three = replace(plain, ratings=tuple(replace(rating, cups=3) for rating in plain.ratings))

    (said,) = few_bowls_warnings(three)

    assert few_bowls_warnings(plain) == ()
    assert said.startswith("3 bowls of each coffee, where the sheet has 5:")
    assert "counts 5/3 times" in said
    assert said in estimate_uncertainty(three, TEN_LINE, draw_panel(three, TEN_LINE)).warnings


def test_a_spilt_bowl_of_one_coffee_is_not_said_of_all() -> None:
    plain = dataset({"Tarn": {"Ines": 84.0}, "Fen": {"Ines": 83.0}})
    first, other = plain.ratings

    (said,) = few_bowls_warnings(replace(plain, ratings=(replace(first, cups=4), other)))

    assert said == "Tarn: fewer bowls were judged than of the others, and each counts for more."
    assert few_bowls_warnings(replace(plain, ratings=(replace(first, cups=0), other))) == ()
