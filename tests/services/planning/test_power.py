from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from at_a_match import ALIKE, match_draft, match_lab, planned_match, tasted_match
from at_the_table import uncovered

from crustbreak.analysis.forecast_input import ForecastInput
from crustbreak.ports.lab import Lab
from crustbreak.questions.match.definition import MatchAsked
from crustbreak.services.planning.power import PANELS, detectable_texts, forecast_texts


def test_says_before_the_table_what_it_can_tell(lab: Lab) -> None:
    before = detectable_texts(lab, "choose")
    uncovered(lab, tasters=("Odile", "Anouk"))
    after = detectable_texts(lab, "choose")

    assert [each.tasters for each in before] == list(PANELS)
    assert sorted(before, key=lambda each: -each.worth_believing) == list(before)
    # Common practice, no source: two coffees have to lie 1.6 points apart for three tasters with
    # a deviation of 1.0 each; the shipped priors have 0.95 and some doubt.
    assert before[2].worth_believing == pytest.approx(1.6, abs=0.25)
    assert (before[0].known_from, after[0].known_from) == (0, 1)


def test_says_nothing_of_a_sheet_of_which_nothing_is_assumed(
    lab: Lab, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(type(lab), "priors", lambda _lab, _ref: None)

    assert detectable_texts(lab, "choose") == ()


def test_more_coffees_and_fewer_bowls_tell_less(lab: Lab) -> None:
    few, many, bare = (
        detectable_texts(lab, "choose", coffees=coffees, bowls=bowls)[2]
        for coffees, bowls in ((5, 5), (14, 5), (14, 1))
    )

    # The studentized range at 95 % is 3.86 for five and 4.74 for fourteen: tables of it, as in
    # any handbook.
    assert many.best / few.best == pytest.approx(4.74 / 3.86, abs=0.01)
    assert many.worth_believing == few.worth_believing
    assert bare.worth_believing > many.worth_believing


@pytest.fixture
def asking(tmp_path: Path) -> Iterator[Lab]:
    with match_lab(tmp_path) as (opened, _):
        yield opened


def listening(lab: Lab, heard: list[ForecastInput]) -> Lab:
    """Let the question say what it was asked."""

    def forecast_text(asked: ForecastInput) -> tuple[str, ...]:
        heard.append(asked)
        return (f"{asked.bowls} bowls, {asked.tasters} tasters.",)

    return replace(
        lab,
        plugins={**lab.plugins, "match": replace(lab.plugin("match"), forecast=forecast_text)},
    )


def test_the_question_is_told_what_its_answer_depends_on(asking: Lab) -> None:
    heard: list[ForecastInput] = []
    draft = match_draft(tasters=("Odile", "Anouk"), asked=MatchAsked(certainty=0.95), cut_off=1.0)

    said = forecast_texts(listening(asking, heard), "match", draft)

    (asked,) = heard
    assert (asked.bowls, asked.tasters, asked.cut_off) == (4, 2, 1.0)
    assert (asked.asked["certainty"], asked.look, asked.history) == (0.95, 1, ())
    assert said == ("4 bowls, 2 tasters.",)


def test_it_is_worked_out_once_for_a_draft(asking: Lab) -> None:
    heard: list[ForecastInput] = []
    hears = listening(asking, heard)

    assert forecast_texts(hears, "match", match_draft()) == forecast_texts(
        hears, "match", match_draft()
    )
    assert len(heard) == 1


def test_a_further_look_knows_its_number_and_the_tables_before(asking: Lab) -> None:
    heard: list[ForecastInput] = []
    first = planned_match(asking)
    tasted_match(asking, first, ALIKE)

    forecast_texts(listening(asking, heard), "match", match_draft(follows=first.id))

    assert heard[0].look == 2
    assert [each.id for each in heard[0].history] == [first.id]


def test_nothing_is_said_of_a_figure_that_decides_nothing(asking: Lab) -> None:
    hears = listening(asking, [])

    assert forecast_texts(hears, "match", match_draft(cut_off=None)) == ()
    assert forecast_texts(hears, "match", match_draft(cut_off=7.0)) == ()
    assert forecast_texts(asking, "choose", match_draft()) == ()
