"""The lab is killed in the middle of its work, and nothing it acknowledged is missing."""

import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

from crustbreak.domain.records.tables import Table
from crustbreak.ports.repository import ReadAccess
from crustbreak.store.connections import sqlite_module
from crustbreak.store.repository import BOOKS_FILE, SqliteRepository, open_repository

LOAD = Path(__file__).with_name("load.py")

Pair = tuple[int, int]


def acknowledged_until_killed(folder: Path, number: int, after: int) -> set[Pair]:
    """Run the load, kill it after so many acknowledgements, and give all it said."""
    with subprocess.Popen(
        [sys.executable, LOAD, folder, str(number)], stdout=subprocess.PIPE
    ) as load:
        assert load.stdout
        lines = [load.stdout.readline() for _ in range(after)]
        load.kill()
        lines += load.stdout.readlines()
    return {(int(grip), int(no)) for grip, no in (line.split() for line in lines)}


def kept_pairs(folder: Path) -> Counter[Pair]:
    def ask(reading: ReadAccess) -> Counter[Pair]:
        return Counter((kept.entry.grip, kept.entry.no) for kept in reading.entries("table-1"))

    with open_repository(folder) as repository:
        return repository.read(ask)


def is_sound(folder: Path) -> bool:
    connection = sqlite_module().connect(folder / BOOKS_FILE)
    answers = connection.execute("PRAGMA integrity_check").fetchall()
    connection.close()
    return bool(answers == [("ok",)])


def kill_and_compare(folder: Path, rounds: range) -> None:
    acknowledged: set[Pair] = set()
    for number in rounds:
        said = acknowledged_until_killed(folder, number, after=100 + 173 * number)
        assert said
        acknowledged |= said
        kept = kept_pairs(folder)
        assert not acknowledged - set(kept), "acknowledged and missing"
        assert set(kept.values()) == {2}, "half of a piece of work"
    assert is_sound(folder)


def test_no_acknowledged_write_is_missing_after_a_kill(
    repository: SqliteRepository, table: Table, folder: Path
) -> None:
    repository.close()

    kill_and_compare(folder, range(4))


@pytest.mark.soak
def test_no_acknowledged_write_is_missing_after_twenty_kills(
    repository: SqliteRepository, table: Table, folder: Path
) -> None:
    repository.close()

    kill_and_compare(folder, range(20))
