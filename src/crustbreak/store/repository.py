"""The lab's books in `lab.db`."""

from collections.abc import Callable
from concurrent.futures import Future
from pathlib import Path
from typing import TypeVar

from crustbreak.ports.repository import Reading, Writing
from crustbreak.store.changes import BooksWriting
from crustbreak.store.migrate import BOOKS_LINE
from crustbreak.store.open_file import InFile, open_file
from crustbreak.store.queries import BooksReading

T = TypeVar("T")

BOOKS_FILE = "lab.db"


class SqliteBooks(InFile):
    """`ports.books.Books` in one SQLite file."""

    def read(self, ask: Callable[[Reading], T]) -> T:
        """Answer a question on a read-only connection, on a state that does not move."""
        return self._file.reader.run(lambda connection: ask(BooksReading(connection)))

    def write(self, work: Callable[[Writing], T]) -> T:
        """Do a piece of work as one unit, and come back when it is on disk."""
        return self._file.writer.run(lambda connection: work(BooksWriting(connection)))

    def later(self, work: Callable[[Writing], T]) -> "Future[T]":
        """Queue a piece of work as one unit; its answer comes when it is on disk."""
        return self._file.writer.submit(lambda connection: work(BooksWriting(connection)))


def open_books(folder: Path, *, locked: bool = False) -> SqliteBooks:
    """Open the books in a folder, or begin them, for this process alone.

    Args:    locked: the caller holds the lock of the file.
    Raises:  LabInUse, NewerLab or NotALab.
    """
    return SqliteBooks(open_file(folder / BOOKS_FILE, BOOKS_LINE, locked=locked))
