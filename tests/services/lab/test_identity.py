from pathlib import Path

from at_the_table import opened_lab

from crustbreak.ports.lab import Lab
from crustbreak.services.lab.identity import renew_incarnation, start_incarnation


def test_keeps_its_life_when_it_is_opened_again(tmp_path: Path) -> None:
    with opened_lab(tmp_path / "lab") as (lab, _):
        first = lab.incarnation
    with opened_lab(tmp_path / "lab") as (lab, _):
        second = lab.incarnation

    assert first == second != ""


def test_begins_another_life_when_asked(lab: Lab) -> None:
    again = renew_incarnation(lab.repository, lab.clock, lab.randomness, reason="restored")

    assert again != lab.incarnation
    assert start_incarnation(lab.repository, lab.clock, lab.randomness) == again
