"""Write pairs of entries from many threads, and say each on stdout once it is acknowledged.

Run by a test, which kills it: python load.py FOLDER ROUND
"""

import os
import sys
from datetime import UTC, datetime
from pathlib import Path
from threading import Thread

from crustbreak.domain.tables.entries import Entry
from crustbreak.ports.repository import KeptEntry, WriteAccess
from crustbreak.store.repository import SqliteRepository, open_repository

THREADS = 12
MOMENT = datetime(2030, 1, 31, 9, 30, tzinfo=UTC)


def one(seat_id: str, grip: int, no: int) -> KeptEntry:
    entry = Entry(
        id=f"{seat_id} {grip} {no}",
        table_id="table-1",
        seat_id=seat_id,
        grip=grip,
        no=no,
        kind="mark",
        sheet="ten_line/1",
        place_id="table-1-place-11",
        cup=None,
        line="flavor",
        round="hot",
        value=7.75,
        device_time=MOMENT,
    )
    return KeptEntry(entry=entry, received_at=MOMENT, digest="0" * 64, late=False)


def write_on(repository: SqliteRepository, grip: int) -> None:
    no = 0
    while True:
        no += 1

        def work(writing: WriteAccess, no: int = no) -> None:
            writing.add_entry(one("table-1-seat-1", grip, no))
            writing.add_entry(one("table-1-seat-2", grip, no))

        repository.write(work)
        # One short write is whole or absent, whatever the moment of the kill.
        os.write(sys.stdout.fileno(), f"{grip} {no}\n".encode())


def main(folder: Path, number: int) -> None:
    repository = open_repository(folder)
    for thread in range(THREADS):
        Thread(target=write_on, args=(repository, number * THREADS + thread + 1)).start()


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]))
