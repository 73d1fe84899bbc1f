"""Open a file of the lab: private, locked, at the schema of this version, ready for use."""

import os
from collections.abc import Iterable
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Self

from crustbreak.store.connections import reading_engine, writing_engine
from crustbreak.store.errors import NotALab
from crustbreak.store.file_lock import Lock
from crustbreak.store.migrate import bring_up
from crustbreak.store.reader_pool import Reader
from crustbreak.store.writer import Writer

FOLDER_MODE = 0o700
FILE_MODE = 0o600


@dataclass(frozen=True, slots=True)
class OpenFile:
    """A file that is open: who writes, who reads, and how to close both."""

    writer: Writer
    reader: Reader
    closing: ExitStack

    def close(self) -> None:
        """Finish what is queued and let everything go; a second time does nothing."""
        self.closing.close()


class InFile:
    """What is kept in one open file; to be closed, or used as a context."""

    def __init__(self, file: OpenFile) -> None:
        self._file = file

    def close(self) -> None:
        """Finish what is queued, then refuse."""
        self._file.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()


def lock_of(path: Path) -> Path:
    """Return the file by whose lock a file of the lab is one process's alone."""
    # Whatever way leads to it, one file has one lock.
    path = path.resolve()
    return path.with_name(f"{path.name}.lock")


def open_file(path: Path, line: str, *, locked: bool = False) -> OpenFile:
    """Open a file, or make it, for this process alone.

    Args:    path: where it is or shall be. line: which schema it has. locked: the caller holds
             its lock, and goes on holding it.
    Raises:  LabInUse, NewerLab or NotALab; then nothing stays open.
    """
    path = path.resolve()
    make_private(path.parent, (path, lock_of(path)))
    with ExitStack() as opened:
        if not locked:
            opened.callback(Lock(lock_of(path)).release)
        engine = writing_engine(path)
        opened.callback(engine.dispose)
        bring_up(engine, line)
        # Readers go first at the end: the last connection of all then tidies the log away.
        writer = Writer(engine)
        opened.callback(writer.close)
        reader = Reader(reading_engine(path))
        opened.callback(reader.close)
        return OpenFile(writer, reader, opened.pop_all())


def make_private(folder: Path, files: Iterable[Path]) -> None:
    """Make files of a lab and their folder, where they are not there, and keep them private.

    Raises:  NotALab when the folder cannot be used.
    """
    try:
        _make(folder, files)
    except OSError as error:
        raise NotALab(
            f"The lab's folder cannot be used: {error.strerror}.",
            hint="Name another folder, or let the user who runs the lab write to this one.",
        ) from error


def _make(folder: Path, files: Iterable[Path]) -> None:
    if not folder.exists() or not any(folder.iterdir()):
        # A folder that holds other things is somebody's, and its mode is theirs to say.
        folder.mkdir(parents=True, exist_ok=True)
        folder.chmod(FOLDER_MODE)
    # Before the database makes them: its log takes the mode of the file it belongs to.
    for file in files:
        os.close(os.open(file, os.O_CREAT | os.O_RDWR, FILE_MODE))
        file.chmod(FILE_MODE)
