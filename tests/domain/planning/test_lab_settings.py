from dataclasses import fields, replace

import pytest

from crustbreak.core.errors import Problem
from crustbreak.domain.planning.lab_settings import (
    SETTINGS,
    LabSettingsDraft,
    Setting,
    check_kettle,
    check_lab_settings,
    make_lab_settings,
)
from crustbreak.domain.records.lab_settings import LabSettings

GOOD = LabSettingsDraft(
    anchors=("Ines", "Tomas"),
    currency="EUR",
    figures={each.name: each.least for each in SETTINGS},
)


def check(draft: LabSettingsDraft) -> tuple[Problem, ...]:
    return check_lab_settings(draft, protocols=("standard/1",), bowls=("standard glass",))


def test_a_sound_house_is_made_as_typed() -> None:
    assert check(GOOD) == ()
    lab_settings = make_lab_settings(GOOD)

    assert (lab_settings.anchors, lab_settings.currency) == (("Ines", "Tomas"), "EUR")
    assert all(getattr(lab_settings, each.name) == each.least for each in SETTINGS)


def test_every_setting_is_a_field_that_holds_within_its_bounds_from_the_start() -> None:
    named = {each.name for each in fields(LabSettings)}

    for each in SETTINGS:
        assert isinstance(each, Setting)
        assert each.name in named
        assert each.least <= getattr(LabSettings(), each.name) <= each.most


@pytest.mark.parametrize("setting", SETTINGS, ids=lambda each: each.name)
@pytest.mark.parametrize("beyond", ["none", "below", "above", "nan"])
def test_a_figure_out_of_bounds_is_named_with_its_bounds(setting: Setting, beyond: str) -> None:
    figure = {
        "none": None,
        "below": setting.least - 1,
        "above": setting.most + 1,
        "nan": float("nan"),
    }[beyond]
    (problem,) = check(replace(GOOD, figures={**GOOD.figures, setting.name: figure}))

    assert problem.where == setting.title
    assert f"{setting.least:g} to {setting.most:g}" in problem.rule


@pytest.mark.parametrize(
    ("anchors", "rule"),
    [
        (("Ines", "INES"), "each name stands once"),
        (("\u202eInes",), "signs that can be seen"),
        (tuple("abcdefghijklm"), "at most 12 names, one a line"),
    ],
)
def test_says_what_keeps_a_name_from_being_an_anchor(anchors: tuple[str, ...], rule: str) -> None:
    (problem,) = check(replace(GOOD, anchors=anchors))

    assert (problem.where, problem.rule) == ("Anchors", rule)


@pytest.mark.parametrize("currency", ["", "dollars"])
def test_a_currency_is_three_signs_at_most(currency: str) -> None:
    (problem,) = check(replace(GOOD, currency=currency))

    assert problem.where == "Currency"


@pytest.mark.parametrize(
    ("changed", "where"), [({"protocol": "x/1"}, "Protocol"), ({"bowl": ""}, "Kind of bowl")]
)
def test_says_which_protocols_and_bowls_there_are(changed: dict[str, str], where: str) -> None:
    (problem,) = check(replace(GOOD, **changed))

    assert problem.where == where
    assert problem.rule.startswith("one of: standard")


def test_kettles_come_whole() -> None:
    (problem,) = check(replace(GOOD, figures={**GOOD.figures, "kettles": 1.5}))

    assert problem.rule.startswith("a whole number from 1 to 8")


def test_a_full_kettle_fills_a_bowl_at_least() -> None:
    figures = {**GOOD.figures, "kettle_ml": 300.0, "kettle_rest_ml": 121.0}

    (problem,) = check_kettle(replace(GOOD, figures=figures), bowl_ml=180)

    assert (problem.where, problem.found) == ("A full kettle", "179 ml without what stays in it")
    assert (
        check_kettle(replace(GOOD, figures={**figures, "kettle_rest_ml": 120}), bowl_ml=180) == ()
    )
