from pathlib import Path

import pytest
from at_the_table import StandingClock

from crustbreak.footing.errors import NotThere
from crustbreak.wiring import SHIPPED, open_lab


def test_opens_a_lab_with_every_shipped_question(tmp_path: Path) -> None:
    with open_lab(tmp_path, name="Test lab") as lab:
        assert set(lab.kits) == {kit.question.id for kit in SHIPPED}
        assert all(lab.sheet(kit.question.sheet) for kit in SHIPPED)


def test_says_which_questions_and_sheets_there_are(tmp_path: Path) -> None:
    with open_lab(tmp_path, name="Test lab") as lab:
        with pytest.raises(NotThere) as no_kit:
            lab.kit("none")
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
        assert lab.books.read(lambda books: books.tables()) == ()
