"""A protocol that a lab writes down is checked as a file is, and never changed in place."""

from dataclasses import replace

import pytest

from crustbreak.core.errors import Problem
from crustbreak.domain.brewing.protocols import Protocol
from crustbreak.domain.planning.protocol_input import (
    OWN,
    ProtocolDraft,
    check_protocol,
    is_same,
    make_protocol,
    offered,
)

STANDARD = Protocol(
    id="standard",
    version=1,
    title="Standard, 55 g a litre",
    dose_g=8.25,
    water_ml=150,
    steep_s=240,
    pour_c=93,
    stirs=3,
    source="S1, 2004 protocol",
)
FIGURES = {"dose_g": 9.3, "water_ml": 150.0, "steep_s": 240.0, "pour_c": 94.0, "stirs": 3.0}
GOOD = ProtocolDraft(of="", title="Ours", figures=FIGURES)


def check(draft: ProtocolDraft, *more: Protocol) -> tuple[Problem, ...]:
    return check_protocol(draft, known=(STANDARD, *more), kettle_ml=950)


def made(draft: ProtocolDraft, *more: Protocol) -> Protocol:
    return make_protocol(draft, known=(STANDARD, *more))


def test_a_sound_one_is_made_as_typed() -> None:
    ours = made(GOOD)

    assert check(GOOD) == ()
    assert (ours.id, ours.version, ours.title) == (f"{OWN}1", 1, "Ours")
    assert (ours.dose_g, ours.steep_s, ours.pour_c) == (9.3, 240, 94)
    assert type(ours.steep_s) is int


def test_a_change_is_a_new_version_and_another_one_has_an_id_of_its_own() -> None:
    ours = made(GOOD)
    stronger = made(replace(GOOD, of=ours.id, figures={**FIGURES, "dose_g": 10.0}), ours)
    other = made(replace(GOOD, title="Other"), ours, stronger)

    assert stronger.ref == f"{OWN}1/2"
    assert other.ref == f"{OWN}2/1"
    assert not is_same(ours, stronger)
    assert is_same(ours, replace(ours, version=7))


@pytest.mark.parametrize(
    ("name", "figure", "where"),
    [
        ("dose_g", None, "Dose, g"),
        ("dose_g", 0.5, "Dose, g"),
        ("water_ml", float("nan"), "Water, ml"),
        ("steep_s", 240.5, "From pour to break, s"),
        ("pour_c", 101.0, "Water at the pour, °C"),
        ("stirs", -1.0, "Stirs at the break, times"),
    ],
)
def test_a_figure_that_no_file_may_have_is_refused(
    name: str, figure: float | None, where: str
) -> None:
    (problem,) = check(replace(GOOD, figures={**FIGURES, name: figure}))

    assert (problem.where, problem.remedy) == (where, "Type it again.")


def test_a_kind_of_bowl_is_one_that_there_is() -> None:
    (problem,) = check(replace(GOOD, bowl="bucket"))

    assert problem.where == "Kind of bowl"
    assert made(replace(GOOD, bowl="light plastic")).bowl == "light plastic"


def test_no_bowl_takes_more_than_a_kettle_pours() -> None:
    (problem,) = check(replace(GOOD, figures={**FIGURES, "water_ml": 951.0}))

    assert "950 ml" in problem.rule


@pytest.mark.parametrize("title", ["", "standard,  55 G a litre", "a" * 81])
def test_a_title_is_there_and_is_its_own(title: str) -> None:
    assert [problem.where for problem in check(replace(GOOD, title=title))] == ["Title"]


def test_what_is_shipped_is_not_changed() -> None:
    (problem,) = check(replace(GOOD, of="standard"))

    assert problem.where == "New version of"


def test_the_latest_of_each_is_offered_and_the_one_that_is_chosen() -> None:
    ours = made(GOOD)
    stronger = made(replace(GOOD, of=ours.id), ours)
    every = (STANDARD, ours, stronger)

    assert offered(every) == (stronger, STANDARD)
    assert offered(every, chosen=ours.ref) == (ours, stronger, STANDARD)
    assert offered(every, chosen=stronger.ref) == (stronger, STANDARD)
