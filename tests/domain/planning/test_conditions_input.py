from dataclasses import fields

import pytest

from crustbreak.domain.planning.conditions_input import (
    FIGURES,
    NOTHING_TYPED,
    TICKS,
    ConditionFigure,
    ConditionsDraft,
    check_conditions,
    make_conditions,
)
from crustbreak.domain.records.sample_conditions import NOTHING_SAID, SampleConditions


def test_every_figure_and_tick_is_a_field() -> None:
    named = {each.name for each in fields(SampleConditions)}

    assert {*(each.name for each in FIGURES), *(name for name, _, _ in TICKS)} == named
    assert all(isinstance(each, ConditionFigure) and each.about for each in FIGURES)


def test_nobody_has_to_say_anything() -> None:
    assert check_conditions(NOTHING_TYPED) == ()
    assert make_conditions(NOTHING_TYPED) == NOTHING_SAID


def test_what_was_said_is_kept() -> None:
    draft = ConditionsDraft(
        figures={"sample_g": 250.0, "swallowed": 12.0}, ticks=frozenset({"graded", "lidded"})
    )

    said = make_conditions(draft)

    assert check_conditions(draft) == ()
    assert (said.sample_g, said.swallowed, said.graded, said.lidded) == (250.0, 12, True, True)
    assert type(said.swallowed) is int


@pytest.mark.parametrize(
    ("name", "figure"),
    [
        ("sample_g", None),
        ("sample_g", -1.0),
        ("ground_min", float("nan")),
        ("earlier_mg", float("inf")),
        ("swallowed", 2.5),
    ],
)
def test_a_slip_of_the_pen_is_named(name: str, figure: float | None) -> None:
    (problem,) = check_conditions(ConditionsDraft(figures={name: figure}))

    assert problem.where == next(each.title for each in FIGURES if each.name == name)
    assert "leave it empty" in problem.remedy
