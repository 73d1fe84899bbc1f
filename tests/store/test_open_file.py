from pathlib import Path

import pytest

from crustbreak.store.errors import LabInUse, NewerLab, NotALab
from crustbreak.store.file_lock import Lock
from crustbreak.store.migrate import BOOKS_LINE, KEYS_LINE
from crustbreak.store.open_file import InFile, OpenFile, lock_of, make_private, open_file


def mode(path: Path) -> int:
    return path.stat().st_mode & 0o777


def set_version(path: Path, version: str) -> None:
    opened = open_file(path, BOOKS_LINE)
    statement = f"UPDATE alembic_version SET version_num = '{version}'"  # noqa: S608 - ours
    opened.writer.run(lambda connection: connection.exec_driver_sql(statement))
    opened.close()


def test_a_new_folder_and_its_files_are_the_owners_alone(tmp_path: Path) -> None:
    path = tmp_path / "deep" / "lab" / "lab.db"

    opened = open_file(path, BOOKS_LINE)

    assert mode(path.parent) == 0o700
    assert {mode(file) for file in path.parent.iterdir()} == {0o600}
    opened.close()


def test_an_empty_folder_becomes_the_owners_alone(tmp_path: Path) -> None:
    folder = tmp_path / "lab"
    folder.mkdir(mode=0o755)

    open_file(folder / "lab.db", BOOKS_LINE).close()

    assert mode(folder) == 0o700


def test_a_folder_of_other_things_keeps_its_mode_and_the_files_are_private(
    tmp_path: Path,
) -> None:
    folder = tmp_path / "shared"
    folder.mkdir()
    folder.chmod(0o755)
    (folder / "letter.txt").touch()

    open_file(folder / "lab.db", BOOKS_LINE).close()

    assert mode(folder) == 0o755
    assert mode(folder / "lab.db") == 0o600


def test_a_file_that_everybody_could_read_becomes_private(tmp_path: Path) -> None:
    path = tmp_path / "lab.db"
    path.touch()
    path.chmod(0o644)

    open_file(path, BOOKS_LINE).close()

    assert mode(path) == 0o600


def test_a_folder_that_cannot_be_made_is_said_with_a_hint(tmp_path: Path) -> None:
    (tmp_path / "file").touch()

    with pytest.raises(NotALab, match="cannot be used") as refused:
        open_file(tmp_path / "file" / "lab.db", BOOKS_LINE)

    assert refused.value.hint


def test_a_file_that_was_refused_is_let_go(tmp_path: Path) -> None:
    path = tmp_path / "lab.db"
    set_version(path, "books_9999")
    for _ in range(2):
        # The second time it would be in use, had the first kept its lock.
        with pytest.raises(NewerLab):
            open_file(path, BOOKS_LINE)


def test_the_file_of_one_line_is_not_taken_for_another(tmp_path: Path) -> None:
    path = tmp_path / "lab.db"
    open_file(path, BOOKS_LINE).close()

    with pytest.raises(NewerLab):
        open_file(path, KEYS_LINE)


def test_closing_twice_is_no_fault(tmp_path: Path) -> None:
    opened: OpenFile = open_file(tmp_path / "lab.db", BOOKS_LINE)

    opened.close()
    opened.close()


def test_what_is_in_a_file_is_closed_when_its_context_ends(tmp_path: Path) -> None:
    with InFile(open_file(tmp_path / "lab.db", BOOKS_LINE)):
        pass

    open_file(tmp_path / "lab.db", BOOKS_LINE).close()


def test_a_file_reached_by_another_name_is_the_same_file(tmp_path: Path) -> None:
    (tmp_path / "lab").mkdir()
    (tmp_path / "shortcut.db").symlink_to(tmp_path / "lab" / "lab.db")

    with InFile(open_file(tmp_path / "lab" / "lab.db", BOOKS_LINE)), pytest.raises(LabInUse):
        open_file(tmp_path / "shortcut.db", BOOKS_LINE)


def test_whoever_holds_the_lock_may_open_the_file_and_nobody_else(tmp_path: Path) -> None:
    path = tmp_path / "lab.db"
    make_private(tmp_path, [path, lock_of(path)])
    lock = Lock(lock_of(path))

    with pytest.raises(LabInUse):
        open_file(path, BOOKS_LINE)
    open_file(path, BOOKS_LINE, locked=True).close()
    with pytest.raises(LabInUse):
        Lock(lock_of(path))

    lock.release()
