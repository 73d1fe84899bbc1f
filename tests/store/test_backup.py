import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import datetime
from itertools import count
from pathlib import Path
from threading import Event

import pytest

from crustbreak.domain.records.keys import Key
from crustbreak.domain.records.tables import Table
from crustbreak.store.backup import (
    FILES,
    check_copy,
    copy_lab,
    has_lab,
    held_files,
    put_back,
)
from crustbreak.store.connections import sqlite_module
from crustbreak.store.errors import LabInUse, NewerLab, NotALab, NotCopied
from crustbreak.store.file_lock import Lock
from crustbreak.store.key_store import KEYS_FILE, SqliteKeyStore, open_key_store
from crustbreak.store.open_file import lock_of
from crustbreak.store.repository import BOOKS_FILE, SqliteRepository, open_repository

LOAD = Path(__file__).with_name("load.py")
KEY = Key(coffee_of={"table-1-place-11": "coffee-B"}, seed="00")

Pair = tuple[int, int]


@pytest.fixture
def lab(folder: Path, repository: SqliteRepository, table: Table) -> Path:
    """Give the folder of a lab with one table and its key, closed."""
    with open_key_store(folder) as keys:
        keys.seal(table.id, KEY)
    repository.close()
    return folder


def mode(path: Path) -> int:
    return path.stat().st_mode & 0o777


def bytes_in(folder: Path) -> dict[str, bytes]:
    return {
        file.relative_to(folder).as_posix(): file.read_bytes()
        for file in sorted(folder.rglob("*"))
        # What a reader leaves beside a file is empty, or a map of what is in it.
        if file.is_file() and not file.name.endswith(("-wal", "-shm"))
    }


def pairs_in(folder: Path) -> Counter[Pair]:
    with open_repository(folder) as repository:
        kept = repository.read(lambda reading: reading.entries("table-1"))
    return Counter((each.entry.grip, each.entry.no) for each in kept)


@contextmanager
def under_load(folder: Path, number: int, after: int) -> Iterator[set[Pair]]:
    """Give what another process was told to be kept; it goes on writing, and is killed then."""
    with subprocess.Popen(
        [sys.executable, LOAD, folder, str(number)], stdout=subprocess.PIPE
    ) as load:
        assert load.stdout
        said = {tuple(map(int, load.stdout.readline().split())) for _ in range(after)}
        yield said  # type: ignore[misc]
        assert load.poll() is None
        load.kill()
        load.stdout.read()


def test_a_copy_is_private_whole_and_the_same(lab: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy"

    tables = copy_lab(lab, copy)

    assert tables == check_copy(copy) == 1
    assert mode(copy) == 0o700
    assert {file.name: mode(file) for file in copy.iterdir()} == dict.fromkeys(FILES, 0o600)
    with open_key_store(copy) as keys:
        assert keys.open("table-1") == KEY
    assert not [file for file in tmp_path.iterdir() if file.name.startswith(".")]


def test_a_copy_under_load_is_sound_and_has_all_that_was_acknowledged(
    lab: Path, tmp_path: Path
) -> None:
    with under_load(lab, 0, after=400) as acknowledged:
        assert copy_lab(lab, tmp_path / "copy") == 1

    kept = pairs_in(tmp_path / "copy")
    assert acknowledged
    assert not acknowledged - set(kept)
    # Each piece of work is two entries: half of one is in no copy.
    assert set(kept.values()) == {2}


def test_a_lab_that_was_killed_is_copied_with_all_that_was_acknowledged(
    lab: Path, tmp_path: Path
) -> None:
    with under_load(lab, 0, after=300) as acknowledged:
        pass

    copy_lab(lab, tmp_path / "copy")

    assert not acknowledged - set(pairs_in(tmp_path / "copy"))


def test_each_table_of_a_copy_has_its_key_while_tables_are_planned(
    folder: Path, tmp_path: Path, make_table: Callable[..., Table]
) -> None:
    enough = Event()

    def plan(repository: SqliteRepository, keys: SqliteKeyStore) -> None:
        for nth in count():
            if enough.is_set():
                return
            table = make_table(f"table-{nth}")
            keys.seal(table.id, KEY)
            repository.write(lambda writing, at=table: writing.add_table(at, (), token=at.id))  # type: ignore[misc]

    with (
        open_repository(folder) as repository,
        open_key_store(folder) as keys,
        ThreadPoolExecutor() as pool,
    ):
        planning = pool.submit(plan, repository, keys)
        # A copy without a key would be refused by its own look through.
        try:
            held = [copy_lab(folder, tmp_path / f"copy-{nth}") for nth in range(5)]
        finally:
            enough.set()
        planning.result()

    assert held == sorted(held)
    assert held[-1] > held[0]


def test_a_copy_overwrites_nothing(lab: Path, tmp_path: Path) -> None:
    (tmp_path / "copy").mkdir()
    (tmp_path / "file").write_text("a letter")
    before = bytes_in(tmp_path)

    for taken in ("copy", "file"):
        with pytest.raises(NotCopied, match="is there already"):
            copy_lab(lab, tmp_path / taken)

    assert bytes_in(tmp_path) == before


def test_says_that_there_is_no_lab_and_no_disk(lab: Path, tmp_path: Path) -> None:
    with pytest.raises(NotALab, match="no lab"):
        copy_lab(tmp_path / "nothing", tmp_path / "copy")
    with pytest.raises(NotCopied) as refused:
        copy_lab(lab, tmp_path / "disk that is out" / "copy")

    assert refused.value.hint
    assert not (tmp_path / "copy").exists()
    assert not (tmp_path / "disk that is out").exists()


@pytest.mark.parametrize("name", FILES)
def test_of_a_damaged_lab_no_copy_is_left(lab: Path, tmp_path: Path, name: str) -> None:
    (lab / name).write_bytes(b"no database at all" * 1000)

    with pytest.raises((NotALab, NotCopied)) as refused:
        copy_lab(lab, tmp_path / "copy")

    assert refused.value.hint
    assert [file.name for file in tmp_path.iterdir()] == [lab.name]


@pytest.mark.parametrize("name", FILES)
def test_knows_a_copy_that_is_not_whole(lab: Path, tmp_path: Path, name: str) -> None:
    copy = tmp_path / "copy"
    copy_lab(lab, copy)
    whole = (copy / name).read_bytes()

    (copy / name).write_bytes(whole[: len(whole) // 2])
    with pytest.raises(NotALab, match="damaged"):
        check_copy(copy)
    (copy / name).unlink()
    with pytest.raises(NotALab, match="no copy"):
        check_copy(copy)


def test_knows_a_copy_without_a_key(lab: Path, tmp_path: Path) -> None:
    copy_lab(lab, tmp_path / "copy")
    open_key_store(tmp_path / "other").close()
    (tmp_path / "other" / KEYS_FILE).replace(tmp_path / "copy" / KEYS_FILE)

    with pytest.raises(NotALab, match="Keys are missing"):
        check_copy(tmp_path / "copy")


def test_puts_a_copy_back_and_moves_aside_what_was_there(
    lab: Path, tmp_path: Path, moment: datetime, make_table: Callable[..., Table]
) -> None:
    copy_lab(lab, tmp_path / "copy")
    with open_repository(lab) as repository:
        repository.write(lambda writing: writing.add_table(make_table("table-2"), (), token="t"))
    later = bytes_in(lab)
    renewed: list[Path] = []

    with held_files(lab):
        aside = put_back(lab, tmp_path / "copy", at=moment, renew=renewed.append)

    # The moment of the tests, 30 January 2030.
    assert aside == lab / "before-2030-01-31-093000"
    assert {name: later[name] for name in FILES} == bytes_in(aside)
    assert mode(aside) == 0o700
    assert {mode(lab / name) for name in FILES} == {0o600}
    with open_repository(lab) as repository:
        assert [table.id for table in repository.read(lambda reading: reading.tables())] == [
            "table-1"
        ]
    assert renewed
    assert not renewed[0].exists()


def test_puts_a_copy_where_nothing_was_and_twice_in_one_second(
    lab: Path, tmp_path: Path, moment: datetime
) -> None:
    copy, new = tmp_path / "copy", tmp_path / "new"
    copy_lab(lab, copy)
    asides = []

    for _ in range(3):
        with held_files(new):
            asides.append(put_back(new, copy, at=moment, renew=lambda _: None))

    assert [aside and aside.name for aside in asides] == [
        *(None, "before-2030-01-31-093000", "before-2030-01-31-093000-2")
    ]
    assert has_lab(new)
    assert mode(new) == 0o700


def test_a_lab_whose_copy_cannot_be_made_ready_is_as_it_was(
    lab: Path, tmp_path: Path, moment: datetime
) -> None:
    copy_lab(lab, tmp_path / "copy")
    before = bytes_in(lab)

    def fail(_ready: Path) -> None:
        raise OSError(28, "No space left on device")

    with held_files(lab), pytest.raises(NotCopied, match="No space left"):
        put_back(lab, tmp_path / "copy", at=moment, renew=fail)

    assert bytes_in(lab) == before


def test_a_lab_is_as_it_was_when_a_file_cannot_be_put(
    lab: Path, tmp_path: Path, moment: datetime
) -> None:
    copy_lab(lab, tmp_path / "copy")
    before = bytes_in(lab)

    def spoil(ready: Path) -> None:
        # The keys come first and go through; a folder cannot take the place of a link.
        (lab / f"{BOOKS_FILE}-journal").symlink_to("nowhere")
        (ready / f"{BOOKS_FILE}-journal").mkdir()

    with held_files(lab), pytest.raises(NotCopied, match="Not a directory"):
        put_back(lab, tmp_path / "copy", at=moment, renew=spoil)

    assert bytes_in(lab) == before
    assert not list(lab.glob("before-*"))


def test_a_copy_of_a_newer_version_is_refused_before_anything_is_moved(
    lab: Path, tmp_path: Path, moment: datetime
) -> None:
    copy = tmp_path / "copy"
    copy_lab(lab, copy)
    connection = sqlite_module().connect(copy / BOOKS_FILE)
    connection.execute("UPDATE alembic_version SET version_num = 'books_9999'")
    connection.commit()
    connection.close()
    before = bytes_in(lab)

    with held_files(lab), pytest.raises(NewerLab):
        put_back(lab, copy, at=moment, renew=lambda ready: open_repository(ready).close())

    assert bytes_in(lab) == before


def test_files_are_held_against_another_lab_and_let_go(lab: Path) -> None:
    with open_repository(lab), pytest.raises(LabInUse), held_files(lab):
        pass
    with held_files(lab), pytest.raises(LabInUse):
        Lock(lock_of(lab / KEYS_FILE))

    open_repository(lab).close()


def test_tells_whether_a_lab_is_there(lab: Path, tmp_path: Path) -> None:
    assert has_lab(lab)
    assert not has_lab(tmp_path / "nothing")


def test_a_table_of_numbered_bowls_needs_no_key(
    folder: Path,
    repository: SqliteRepository,
    table: Table,
    make_table: Callable[..., Table],
    tmp_path: Path,
) -> None:
    alone = make_table("table-9", is_numbered=True)
    repository.write(lambda writing: writing.add_table(alone, (), token="t9", numbered_bowls=()))
    repository.close()
    with open_key_store(folder) as keys:
        keys.seal(table.id, KEY)

    assert copy_lab(folder, tmp_path / "copy") == 2
    assert check_copy(tmp_path / "copy") == 2


def test_a_copy_of_before_there_were_numbered_bowls_is_looked_through(
    lab: Path, tmp_path: Path
) -> None:
    copy_lab(lab, tmp_path / "copy")
    repository = sqlite_module().connect(tmp_path / "copy" / BOOKS_FILE)
    repository.execute("ALTER TABLE tables DROP COLUMN is_numbered")
    repository.commit()
    repository.close()

    assert check_copy(tmp_path / "copy") == 1
