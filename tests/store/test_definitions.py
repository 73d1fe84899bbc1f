from importlib.resources.abc import Traversable
from pathlib import Path

import pytest

from crustbreak.core.errors import Unacceptable
from crustbreak.store.definitions import SHIPPED_DATA, FileDefinitions

SHEET = """
id = "{id}"
version = {version}
title = "House sheet"
source = "ours"
cups = 1

[[rounds]]
id = "only"
title = "Only"
say = "When it is cool."

[[lines]]
id = "liking"
title = "Schön"
kind = "scale"
round = "only"
least = 1.0
most = 9.0
step = 1.0
"""


def write_sheet(folder: Path, name: str, *, sheet: str = "house", version: int = 1) -> None:
    (folder / "sheets").mkdir(parents=True, exist_ok=True)
    text = SHEET.format(id=sheet, version=version)
    (folder / "sheets" / name).write_text(text, encoding="utf-8")


def test_the_shipped_sheets_are_all_there() -> None:
    assert isinstance(SHIPPED_DATA, Path | Traversable)
    files = [file for file in (SHIPPED_DATA / "sheets").iterdir() if file.name.endswith(".toml")]

    sheets = FileDefinitions((SHIPPED_DATA,)).sheets()

    assert len(sheets) == len(files)
    assert "ten_line/1" in sheets
    assert all(ref == sheet.ref for ref, sheet in sheets.items())


def test_the_houses_sheets_stand_beside_the_shipped_ones(tmp_path: Path) -> None:
    write_sheet(tmp_path, "house.toml")

    sheets = FileDefinitions((SHIPPED_DATA, tmp_path)).sheets()

    assert {"ten_line/1", "house/1"} <= set(sheets)
    assert sheets["house/1"].lines[0].title == "Schön"


def test_every_version_of_a_sheet_is_there(tmp_path: Path) -> None:
    write_sheet(tmp_path, "old.toml", version=1)
    write_sheet(tmp_path, "new.toml", version=2)

    assert set(FileDefinitions((tmp_path,)).sheets()) == {"house/1", "house/2"}


def test_a_folder_without_sheets_has_none(tmp_path: Path) -> None:
    assert FileDefinitions((tmp_path, tmp_path / "nowhere")).sheets() == {}


def test_other_files_are_let_be(tmp_path: Path) -> None:
    write_sheet(tmp_path, "house.toml")
    (tmp_path / "sheets" / "house.toml~").write_text("half a line")

    assert set(FileDefinitions((tmp_path,)).sheets()) == {"house/1"}


def test_one_version_defined_by_two_files_is_refused(tmp_path: Path) -> None:
    write_sheet(tmp_path, "house.toml")
    write_sheet(tmp_path, "copy.toml")

    with pytest.raises(Unacceptable, match="house/1 is defined twice") as refused:
        FileDefinitions((tmp_path,))

    (problem,) = refused.value.problems
    assert "copy.toml" in problem.found
    assert "house.toml" in problem.found


@pytest.mark.parametrize("content", [b"id = ", b"id = 'caf\xe9'"])
def test_a_file_that_is_no_toml_is_named(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "sheets").mkdir()
    (tmp_path / "sheets" / "broken.toml").write_bytes(content)

    with pytest.raises(Unacceptable, match=r"broken\.toml") as refused:
        FileDefinitions((tmp_path,))

    assert refused.value.problems[0].where == "broken.toml"


def test_a_file_that_is_no_sheet_has_all_its_faults_named(tmp_path: Path) -> None:
    (tmp_path / "sheets").mkdir()
    (tmp_path / "sheets" / "bare.toml").write_text('id = "bare"\nversion = 1\n')

    with pytest.raises(Unacceptable) as refused:
        FileDefinitions((tmp_path,))

    assert len(refused.value.problems) == 5


def test_sheets_are_read_once(tmp_path: Path) -> None:
    write_sheet(tmp_path, "house.toml")
    definitions = FileDefinitions((tmp_path,))
    (tmp_path / "sheets" / "house.toml").unlink()

    assert set(definitions.sheets()) == {"house/1"}


PRIORS = (SHIPPED_DATA / "priors" / "ten_line.toml").read_text(encoding="utf-8")


def test_ships_what_is_assumed_of_the_ten_line_sheet() -> None:
    shipped = FileDefinitions((SHIPPED_DATA,)).priors()
    priors = shipped["ten_line/1"]

    assert (priors.ref, priors.sheet) == ("ten_line/2", "ten_line/1")


def test_a_houses_later_priors_stand_in_for_those_shipped(tmp_path: Path) -> None:
    (tmp_path / "priors").mkdir()
    (tmp_path / "priors" / "house.toml").write_text(
        PRIORS.replace("version = 2", "version = 3"), encoding="utf-8"
    )

    for folders in ((SHIPPED_DATA, tmp_path), (tmp_path, SHIPPED_DATA)):
        assert FileDefinitions(folders).priors()["ten_line/1"].version == 3


def test_refuses_priors_that_are_defined_twice(tmp_path: Path) -> None:
    (tmp_path / "priors").mkdir()
    (tmp_path / "priors" / "again.toml").write_text(PRIORS, encoding="utf-8")

    with pytest.raises(Unacceptable, match="ten_line/2 is defined twice"):
        FileDefinitions((SHIPPED_DATA, tmp_path))


def test_ships_what_is_assumed_of_every_sheet() -> None:
    shipped = FileDefinitions((SHIPPED_DATA,))

    assert set(shipped.priors()) == set(shipped.sheets())
