"""Writes a second, and how long one waits: the records beside plain SQLite on the same disk.

Fifty phones send one entry at a time and wait for the answer. *Books* is the lab's own store,
which puts all that waits into one transaction. *A commit each* does the same with the bare
driver: fifty connections, a transaction an entry. *One alone* is the bare driver at its best:
one loop that waits for nobody. All flush before they answer, into the same schema.

Run it by hand: python benchmarks/group_commit.py [FOLDER]. It takes about ten seconds.
"""

import sys
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Barrier, Thread
from time import perf_counter
from typing import Any

from crustbreak.core.units import utc_text
from crustbreak.domain.records.recipes import STANDARD
from crustbreak.domain.records.tables import Seat, Table
from crustbreak.domain.tables.entries import Entry
from crustbreak.ports.repository import KeptEntry
from crustbreak.store.connections import sqlite_module
from crustbreak.store.repository import BOOKS_FILE, SqliteRepository, open_repository

PHONES = 50
RUN_S = 2.5
MOMENT = datetime(2030, 1, 31, 9, 30, tzinfo=UTC)

INSERT = (
    "INSERT INTO entries (table_id, seat_id, entry_id, grip, no, kind, sheet, place_id, cup, "
    "line, round, value, device_time, received_at, digest, late) "
    "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
)

# Does one write and comes back when it is on disk.
Write = Callable[[int], object]


def kept_entry(phone: int, no: int) -> KeptEntry:
    entry = Entry(
        id=f"{phone:016x}{no:016x}",
        table_id="table",
        seat_id=f"seat-{phone}",
        grip=1,
        no=no,
        kind="mark",
        sheet="ten_line/1",
        place_id="place",
        cup=None,
        line="flavor",
        round="hot",
        value=7.75,
        device_time=MOMENT,
    )
    return KeptEntry(entry=entry, received_at=MOMENT, digest="0" * 64, late=False)


def bare_row(phone: int, no: int) -> tuple[object, ...]:
    identity = (f"{phone:016x}{no:016x}", 1, no)
    said = ("mark", "ten_line/1", "place", None, "flavor", "hot", "7.75")
    kept = (utc_text(MOMENT), utc_text(MOMENT), "0" * 64, 0)
    return ("table", f"seat-{phone}", *identity, *said, *kept)


def plan(folder: Path) -> None:
    table = Table(
        id="table",
        question="choose",
        sheet="ten_line/1",
        occasion="",
        flights=(),
        seats=tuple(Seat(id=f"seat-{phone}", taster=str(phone)) for phone in range(PHONES)),
        recipe=STANDARD,
        cut_off=80,
        setter="",
        planned_at=MOMENT,
    )
    with open_repository(folder) as records:
        records.write(lambda writing: writing.add_table(table, (), token="token"))


def timed(write: Write, waits_s: list[float], until: float) -> None:
    no = 0
    while (start := perf_counter()) < until:
        no += 1
        write(no)
        waits_s.append(perf_counter() - start)


def run_phones(writes: list[Write]) -> list[float]:
    """Let all write at once for a while; give how long each write took, s."""
    together = Barrier(len(writes))
    waits_s: list[list[float]] = [[] for _ in writes]

    def phone(number: int) -> None:
        together.wait()
        timed(writes[number], waits_s[number], perf_counter() + RUN_S)

    threads = [Thread(target=phone, args=(number,)) for number in range(len(writes))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return sorted(wait for each in waits_s for wait in each)


def through_the_books(folder: Path) -> list[float]:
    def write_of(records: SqliteRepository, phone: int) -> Write:
        return lambda no: records.write(lambda writing: writing.add_entry(kept_entry(phone, no)))

    with open_repository(folder) as records:
        return run_phones([write_of(records, phone) for phone in range(PHONES)])


def bare(folder: Path, phones: int) -> list[float]:
    def write_of(connection: Any, phone: int) -> Write:
        def write(no: int) -> None:
            connection.execute("BEGIN IMMEDIATE")
            connection.execute(INSERT, bare_row(phone, no))
            connection.execute("COMMIT")

        return write

    connections = [connect(folder / BOOKS_FILE) for _ in range(phones)]
    waits_s = run_phones([write_of(*each) for each in zip(connections, range(phones), strict=True)])
    for connection in connections:
        connection.close()
    return waits_s


def connect(path: Path) -> Any:
    connection = sqlite_module().connect(
        path, timeout=60, isolation_level=None, check_same_thread=False
    )
    for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON"):
        connection.execute(f"PRAGMA {pragma}")
    return connection


def count(folder: Path) -> int:
    with closing(connect(folder / BOOKS_FILE)) as connection:
        return int(connection.execute("SELECT count(*) FROM entries").fetchone()[0])


def say(name: str, waits_s: list[float], reference_s: list[float]) -> None:
    ratio = len(waits_s) / len(reference_s)
    middle, tail = (waits_s[int(len(waits_s) * part)] * 1000 for part in (0.5, 0.99))
    sys.stdout.write(
        f"{name:<24}{len(waits_s) / RUN_S:>9,.0f} writes/s{ratio:>7.2f} x   "
        f"half within {middle:,.1f} ms, 99 in 100 within {tail:,.1f} ms\n"
    )


def main(parent: str | None) -> None:
    ways: dict[str, Callable[[Path], list[float]]] = {
        "a commit each, 50 phones": lambda folder: bare(folder, PHONES),
        "one alone": lambda folder: bare(folder, 1),
        "books, 50 phones": through_the_books,
    }
    waits_s: dict[str, list[float]] = {}
    for name, way in ways.items():
        with TemporaryDirectory(dir=parent) as folder:
            plan(Path(folder))
            waits_s[name] = way(Path(folder))
            if count(Path(folder)) != len(waits_s[name]):
                sys.exit(f"{name}: not every write that was answered is there")
    for name, each in waits_s.items():
        say(name, each, waits_s["a commit each, 50 phones"])


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else None)
