"""The lab's books in `lab.db`."""

from collections.abc import Callable
from concurrent.futures import Future
from pathlib import Path
from typing import TypeVar

from crustbreak.ports.repository import ReadAccess, WriteAccess
from crustbreak.store.changes import Changes
from crustbreak.store.migrate import BOOKS_LINE
from crustbreak.store.open_file import InFile, open_file
from crustbreak.store.queries import Queries

T = TypeVar("T")

BOOKS_FILE = "lab.db"


class SqliteRepository(InFile):
    """`ports.repository.Books` in one SQLite file."""

    def read(self, ask: Callable[[ReadAccess], T]) -> T:
        """Answer a question on a read-only connection, on a state that does not move."""
        return self._file.reader.run(lambda connection: ask(Queries(connection)))

    def write(self, work: Callable[[WriteAccess], T]) -> T:
        """Do a piece of work as one unit, and come back when it is on disk."""
        return self._file.writer.run(lambda connection: work(Changes(connection)))

    def later(self, work: Callable[[WriteAccess], T]) -> "Future[T]":
        """Queue a piece of work as one unit; its answer comes when it is on disk."""
        return self._file.writer.submit(lambda connection: work(Changes(connection)))


def open_repository(folder: Path, *, locked: bool = False) -> SqliteRepository:
    """Open the records in a folder, or begin them, for this process alone.

    Args:    locked: the caller holds the lock of the file.
    Raises:  LabInUse, NewerLab or NotALab.
    """
    return SqliteRepository(open_file(folder / BOOKS_FILE, BOOKS_LINE, locked=locked))
