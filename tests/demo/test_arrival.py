"""The invented arrival goes all the way, and its truth is found."""

from pathlib import Path

from at_the_table import opened_lab

from crustbreak.demo.arrival import play_arrival
from crustbreak.demo.lab import fill_demo
from crustbreak.demo.scenario import ARRIVAL, ARRIVAL_OCCASION, ARRIVAL_STOOD, ScriptedBowl
from crustbreak.reports.render.terminal import as_text
from crustbreak.reports.sections.claim_pack import clock_text
from crustbreak.services.results.claims import pack_of
from crustbreak.services.results.decide import evidence_of, memo_of
from crustbreak.services.tables.views import list_tables


def test_the_container_is_found_different_and_the_note_says_why(tmp_path: Path) -> None:
    with opened_lab(tmp_path / "lab") as (lab, _):
        fill_demo(lab)
        table = next(each for each, _ in list_tables(lab) if each.occasion == ARRIVAL_OCCASION)
        evidence = evidence_of(lab, table)
        note = as_text(memo_of(lab, table), columns=400)
        clock = clock_text(pack_of(lab, table))

    # By hand: (2.5 + 3 + 2.5 - 0.5 - 0 - 1) / 3; three part from three in one of twenty ways.
    assert evidence["difference"] == round(6.5 / 3, 4)
    assert evidence["chance"] == 1 / 20
    assert evidence["suggestion"] == "different, worse"
    assert "What follows: Ask for an allowance" in note
    assert "Moisture 12.9 % by mass is over 12.5." in note
    assert "An old score of 87.5 by 3 tasters" in note
    assert clock.startswith("Day 9 of 15: 6 days left")


def test_every_bowl_of_it_stood_somewhere_once() -> None:
    bowls = [bowl for each in ARRIVAL.values() for bowl in each]

    assert all(isinstance(bowl, ScriptedBowl) for bowl in bowls)
    assert sorted(ARRIVAL_STOOD) == list(range(1, len(bowls) + 1))
    assert callable(play_arrival)
