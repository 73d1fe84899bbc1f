"""The disk refuses in the middle of a commit; everybody is told, and the lab goes on."""

import subprocess
import sys
from pathlib import Path

from crustbreak.domain.records.tables import Table
from crustbreak.store.repository import SqliteRepository, open_repository

FILL = Path(__file__).with_name("fill_disk.py")


def test_a_commit_that_the_disk_refuses_is_told_to_all_and_leaves_nothing(
    repository: SqliteRepository, table: Table, folder: Path
) -> None:
    repository.close()

    filled = subprocess.run(
        [sys.executable, FILL, folder], capture_output=True, text=True, check=True, timeout=60
    )

    first, *refused, last = filled.stdout.splitlines()
    assert (first, last) == ("kept", "kept")
    assert len(refused) == 6
    assert all(line.startswith("NotKept: This could not be kept: ") for line in refused), refused
    assert filled.stderr == ""
    with open_repository(folder) as again:
        events = again.read(lambda reading: reading.events(table.id))
    assert [(event.number, event.detail) for event in events] == [(1, "before"), (2, "after")]
