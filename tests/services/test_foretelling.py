"""What a table can tell is said by its question, before anything is drawn."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from at_a_match import ALIKE, match_draft, match_lab, planned_match, tasted_match

from crustbreak.analysis.asked import Asked
from crustbreak.ports.lab import Lab
from crustbreak.services.foretelling import foretold


@pytest.fixture
def lab(tmp_path: Path) -> Iterator[Lab]:
    with match_lab(tmp_path) as (opened, _):
        yield opened


def listening(lab: Lab, heard: list[Asked]) -> Lab:
    """Let the question say what it was asked."""

    def foretell(asked: Asked) -> tuple[str, ...]:
        heard.append(asked)
        return (f"{asked.bowls} bowls, {asked.tasters} tasters.",)

    return replace(lab, kits={**lab.kits, "match": replace(lab.kit("match"), foretell=foretell)})


def test_the_question_is_told_what_its_answer_depends_on(lab: Lab) -> None:
    heard: list[Asked] = []
    draft = match_draft(tasters=("Odile", "Anouk"), certainty=0.95, cut_off=1.0)

    said = foretold(listening(lab, heard), "match", draft)

    (asked,) = heard
    assert (asked.bowls, asked.tasters, asked.cut_off) == (4, 2, 1.0)
    assert (asked.certainty, asked.look, asked.history) == (0.95, 1, ())
    assert said == ("4 bowls, 2 tasters.",)


def test_it_is_worked_out_once_for_a_draft(lab: Lab) -> None:
    heard: list[Asked] = []
    hears = listening(lab, heard)

    assert foretold(hears, "match", match_draft()) == foretold(hears, "match", match_draft())
    assert len(heard) == 1


def test_a_further_look_knows_its_number_and_the_tables_before(lab: Lab) -> None:
    heard: list[Asked] = []
    first = planned_match(lab)
    tasted_match(lab, first, ALIKE)

    foretold(listening(lab, heard), "match", match_draft(follows=first.id))

    assert heard[0].look == 2
    assert [each.id for each in heard[0].history] == [first.id]


def test_nothing_is_said_of_a_figure_that_decides_nothing(lab: Lab) -> None:
    hears = listening(lab, [])

    assert foretold(hears, "match", match_draft(cut_off=None)) == ()
    assert foretold(hears, "match", match_draft(cut_off=7.0)) == ()
    assert foretold(lab, "choose", match_draft()) == ()
