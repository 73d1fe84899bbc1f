from pathlib import Path

import pytest
from at_the_table import (
    StandingClock,
    opened_lab,
    planned,
    seated,
    send,
    under_way,
    whole_sheet,
)

from crustbreak.core.errors import NotNow, NotThere
from crustbreak.ports.lab import Lab
from crustbreak.services.devices.join import Seated
from crustbreak.services.tables.actions import abandon, break_first, pour_first, table_set
from crustbreak.store.errors import LabInUse, NotALab, NotCopied
from crustbreak.wiring import SHIPPED, back_up, open_lab, restore


def test_opens_a_lab_with_every_shipped_question(tmp_path: Path) -> None:
    with open_lab(tmp_path, name="Test lab") as lab:
        assert set(lab.plugins) == {plugin.question.id for plugin in SHIPPED}
        assert all(lab.sheet(plugin.question.sheet) for plugin in SHIPPED)


def test_says_which_questions_and_sheets_there_are(tmp_path: Path) -> None:
    with open_lab(tmp_path, name="Test lab") as lab:
        with pytest.raises(NotThere) as no_kit:
            lab.plugin("none")
        with pytest.raises(NotThere) as no_sheet:
            lab.sheet("none/1")

    assert "choose" in no_kit.value.hint
    assert "ten_line/1" in no_sheet.value.hint


def test_takes_a_clock_from_outside(tmp_path: Path) -> None:
    clock = StandingClock()

    with open_lab(tmp_path, name="Test lab", clock=clock) as lab:
        assert lab.clock.now() == clock.moment


def test_can_be_opened_again_after_it_was_closed(tmp_path: Path) -> None:
    with open_lab(tmp_path, name="Test lab"):
        pass

    with open_lab(tmp_path, name="Test lab") as lab:
        assert lab.repository.read(lambda records: records.tables()) == ()


def entries_at(lab: Lab, at: Seated) -> list[str]:
    kept = lab.repository.read(lambda records: records.entries(at.table.id))
    return [each.entry.id for each in kept]


def files_in(folder: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in folder.glob("*.db")}


def test_a_restored_lab_has_another_life_and_what_phones_send_again_once(tmp_path: Path) -> None:
    folder, copy = tmp_path / "lab", tmp_path / "copy"
    with opened_lab(folder) as (lab, _):
        at = seated(lab, under_way(lab))
        marks = whole_sheet(lab, at)
        send(lab, at, marks[:10])
        tables = back_up(folder, copy)
        send(lab, at, marks[10:])
        abandon(lab, at.table, "The disk broke.")
        told, first = [mark["id"] for mark in marks], lab.incarnation

    held, aside = restore(folder, copy)

    with opened_lab(folder) as (lab, _):
        assert entries_at(lab, at) == told[:10]
        for _ in range(2):
            # The phone sends all that it holds, the lab's answers of its former life included.
            assert {answer.word for answer in send(lab, at, marks)} == {"kept"}
        assert entries_at(lab, at) == told
        assert lab.incarnation != first
    assert (tables, held) == (1, 1)
    assert aside
    assert set(files_in(aside)) == {"lab.db", "keys.db"}


def test_a_lab_is_restored_where_none_was_and_each_time_to_another_life(tmp_path: Path) -> None:
    lives = []
    with opened_lab(tmp_path / "lab") as (lab, _):
        planned(lab)
        back_up(tmp_path / "lab", tmp_path / "copy")
        lives.append(lab.incarnation)

    for _ in range(2):
        restore(tmp_path / "new", tmp_path / "copy")
        with opened_lab(tmp_path / "new") as (lab, _):
            lives.append(lab.incarnation)

    assert len(set(lives)) == 3


def test_nothing_is_put_back_while_a_table_is_open(tmp_path: Path) -> None:
    folder = tmp_path / "lab"
    back_up_of_empty(folder, tmp_path / "copy")
    with opened_lab(folder) as (lab, _):
        table = planned(lab)
    # Only planned: no water, nobody tastes.
    for step in (table_set, pour_first, break_first):
        with opened_lab(folder) as (lab, _):
            step(lab, table)
        before = files_in(folder)

        with pytest.raises(NotNow, match="'Morning offers' is") as refused:
            restore(folder, tmp_path / "copy")

        assert refused.value.hint
        assert files_in(folder) == before
        assert not list(folder.glob("before-*"))


def back_up_of_empty(folder: Path, copy: Path) -> None:
    with opened_lab(folder):
        assert back_up(folder, copy) == 0


def test_nothing_is_put_back_into_a_lab_that_is_open(tmp_path: Path) -> None:
    with opened_lab(tmp_path / "lab") as (lab, _):
        back_up(tmp_path / "lab", tmp_path / "copy")
        planned(lab)

        with pytest.raises(LabInUse):
            restore(tmp_path / "lab", tmp_path / "copy")

        assert len(lab.repository.read(lambda records: records.tables())) == 1


def test_what_is_no_copy_is_refused_and_makes_no_lab(tmp_path: Path) -> None:
    with pytest.raises(NotALab, match="no copy"):
        restore(tmp_path / "lab", tmp_path / "copy")
    with pytest.raises(NotALab, match="no lab"):
        back_up(tmp_path / "lab", tmp_path / "copy")

    assert list(tmp_path.iterdir()) == []


def test_a_copy_takes_the_place_of_a_lab_that_is_damaged(tmp_path: Path) -> None:
    folder = tmp_path / "lab"
    with opened_lab(folder) as (lab, _):
        planned(lab)
        back_up(folder, tmp_path / "copy")
    broken = b"no database at all" * 1000
    (folder / "lab.db").write_bytes(broken)

    _, aside = restore(folder, tmp_path / "copy")

    assert aside
    assert (aside / "lab.db").read_bytes() == broken
    with opened_lab(folder) as (lab, _):
        assert len(lab.repository.read(lambda records: records.tables())) == 1
    with pytest.raises(NotCopied):
        back_up(folder, tmp_path / "copy")
