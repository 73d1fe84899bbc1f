from pathlib import Path

import pytest
from at_the_table import MORNING, opened_lab

from crustbreak.demo.lab import ScriptedClock, fill_demo
from crustbreak.demo.scenario import (
    ARRIVAL_OCCASION,
    CLOSE,
    DECIDED,
    HISTORY,
    LINES,
    TASTERS,
    Opinion,
    Sitting,
    Told,
)
from crustbreak.reports.render.terminal import as_text
from crustbreak.services.results.decide import evidence_of, memo_of, verdict_of
from crustbreak.services.tables.views import list_tables, view_table


def sum_by_hand(opinion: Opinion) -> float:
    # The protocol's own sum, [S1]: lines, plus two points for each of fifteen ticks, less two
    # for a taint. Every flag of the scenario costs two points either way.
    return sum(opinion.points) + 30 - 2 * len(opinion.flags)


def test_leaves_tables_decided_one_to_decide_and_one_ready_to_pour(tmp_path: Path) -> None:
    with opened_lab(tmp_path / "lab") as (lab, _):
        fill_demo(lab)

        stands = {table.occasion: flight for table, flight in list_tables(lab)}

    assert stands == {
        **{sitting.occasion: "decided" for sitting in HISTORY},
        CLOSE.occasion: "uncovered",
        ARRIVAL_OCCASION: "decided",
        "Harbour offers": "decided",
        "Harbour offers, second sitting": "set",
    }


def test_the_decided_table_adds_up(tmp_path: Path) -> None:
    with opened_lab(tmp_path / "lab") as (lab, _):
        fill_demo(lab)
        table = next(t for t, _ in list_tables(lab) if t.occasion == "Harbour offers")

        evidence = evidence_of(lab, table)
        verdict = verdict_of(lab, table)
        memo = memo_of(lab, table)

    found = {each["coffee"]: [t["total"] for t in each["tasters"]] for each in evidence["coffees"]}
    assert found == {told.name: [sum_by_hand(o) for o in told.opinions] for told in DECIDED}
    assert verdict == {told.name: told.verdict for told in DECIDED}
    assert "Maren set the table by the key" in as_text(memo)


def test_the_history_adds_up_and_one_table_cannot_tell(tmp_path: Path) -> None:
    with opened_lab(tmp_path / "lab") as (lab, _):
        fill_demo(lab)
        tables = {table.occasion: table for table, _ in list_tables(lab)}
        evidence = {
            sitting.occasion: evidence_of(lab, tables[sitting.occasion])
            for sitting in (*HISTORY, CLOSE)
        }

    for sitting in (*HISTORY, CLOSE):
        assert isinstance(sitting, Sitting)
        found = {each["coffee"]: each for each in evidence[sitting.occasion]["coffees"]}
        for name, total in sitting.coffees:
            # Two throws of a look of one point, and leanings that cancel: within a point or so.
            assert found[name]["total"]["mean"] == pytest.approx(total, abs=1.5)
    close = evidence[CLOSE.occasion]
    assert {each["word"] for each in close["suggestions"]} == {"look again"}
    assert close["sure"]["tables_before"] == len(HISTORY) + 1


def test_nothing_of_it_was_set_aside(tmp_path: Path) -> None:
    with opened_lab(tmp_path / "lab") as (lab, _):
        fill_demo(lab)

        aside = [view_table(lab, table.id).set_aside for table, _ in list_tables(lab)]

    assert aside == [0] * (len(HISTORY) + 4)


@pytest.mark.parametrize("told", DECIDED, ids=lambda told: told.name)
def test_every_taster_has_an_opinion_of_every_line(told: Told) -> None:
    assert len(told.opinions) == len(told.calls) == len(TASTERS)
    assert {len(opinion.points) for opinion in told.opinions} == {len(LINES)}


def test_the_scripted_clock_moves_when_told() -> None:
    clock = ScriptedClock(MORNING)

    clock.pass_minutes(1.5)

    assert (clock.now() - MORNING).total_seconds() == 90
