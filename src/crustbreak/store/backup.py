"""Copies of a lab: made while it is open or closed, and put back in the place of another.

A copy appears under its name when it is whole, and never before. Putting one back deletes
nothing: what was there goes into a folder of its own beside it.
"""

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from datetime import datetime
from itertools import count
from pathlib import Path
from tempfile import mkdtemp

from sqlalchemy import Column, false, inspect, select
from sqlalchemy.exc import DBAPIError

from crustbreak.store import schema
from crustbreak.store.connections import copying_engine, reading_engine
from crustbreak.store.errors import NotALab, NotCopied, database_words, hint_for
from crustbreak.store.file_lock import Lock
from crustbreak.store.key_store import KEYS_FILE
from crustbreak.store.open_file import FILE_MODE, FOLDER_MODE, lock_of, make_private
from crustbreak.store.repository import BOOKS_FILE

# The records first. A table is written down after its key was sealed, so each table of a copy has
# its key in the keys that are copied later; a key that has no table there tells nothing.
FILES = (BOOKS_FILE, KEYS_FILE)
# A file of the lab may have these beside it, and is not whole without them.
PARTS = ("", "-wal", "-shm", "-journal")


def has_lab(folder: Path) -> bool:
    """Return whether anything of a lab is kept in a folder."""
    return bool(_parts_in(folder))


def copy_lab(folder: Path, into: Path) -> int:
    """Copy the lab in a folder into a new one, and give how many tables the copy holds.

    It only reads, so that the lab may be open meanwhile, in this process or another.

    Raises:  NotALab when there is none, or it is damaged; NotCopied when the new folder is there
             already or cannot be written. Nothing of a copy is left then.
    """
    if not all((folder / name).is_file() for name in FILES):
        raise NotALab(f"There is no lab in {folder}.", hint="Name the lab's folder with --folder.")
    into = into.resolve()
    if into.exists():
        raise NotCopied(
            f"{into} is there already.",
            hint="Name a folder that is not there yet: a copy overwrites nothing.",
        )
    with _disk_willing(), _half_made(into.parent) as half:
        for name in FILES:
            _copy_file(folder / name, half / name)
        tables = check_copy(half)
        _flush(half)
        half.rename(into)
        _flush(into.parent)
    return tables


def check_copy(folder: Path) -> int:
    """Return how many tables a copy holds; NotALab when it is damaged or something is missing."""
    if not all((folder / name).is_file() for name in FILES):
        raise NotALab(
            f"There is no copy of a lab in {folder}.",
            hint="Name the folder that `crustbreak backup` made.",
        )
    repository = folder / BOOKS_FILE
    tables = _ids(repository, schema.tables.c.table_id)
    # The numbers under its bowls are the key of such a table.
    numbered = _ids(repository, schema.tables.c.table_id, where=schema.tables.c.is_numbered)
    if tables - numbered - _ids(folder / KEYS_FILE, schema.keys.c.table_id):
        raise NotALab(f"Keys are missing in {folder}.", hint="Use another copy.")
    return len(tables)


@contextmanager
def held_files(folder: Path) -> Iterator[None]:
    """Keep the files of a lab for this process; LabInUse when another has it open."""
    files = [folder.resolve() / name for name in FILES]
    make_private(folder, [lock_of(file) for file in files])
    with ExitStack() as locks:
        for file in files:
            locks.callback(Lock(lock_of(file)).release)
        yield


def put_back(
    folder: Path, copy: Path, *, at: datetime, renew: Callable[[Path], object]
) -> Path | None:
    """Put a copy in the place of the lab in a folder, whose files the caller holds.

    Args:    at: names the folder into which the present files go. renew: is given the folder in
             which the copy lies ready, to do there what must be done before it is the lab.
    Returns: where the present files went; None where there were none.
    Raises:  NotALab or NewerLab for a copy that is of no use; NotCopied when the disk fails. All
             is as it was then.
    """
    check_copy(copy)
    with _disk_willing(), _half_made(folder) as ready:
        for name in FILES:
            _copy_file(copy / name, ready / name)
        renew(ready)
        with _aside(folder, at) as aside, _all_or_none(ready) as put:
            # The keys first: whatever happens in between, no table stands without its key.
            for file in reversed(_parts_in(ready)):
                put.append(file.replace(folder / file.name))
            _flush(folder)
    return aside


def _copy_file(file: Path, into: Path) -> None:
    os.close(os.open(into, os.O_CREAT | os.O_EXCL | os.O_WRONLY, FILE_MODE))
    engine = copying_engine(file)
    try:
        with engine.connect() as connection:
            connection.exec_driver_sql("VACUUM INTO ?", (str(into),))
    finally:
        engine.dispose()
    # The database leaves it to the system when a copy reaches the disk.
    _flush(into)


def _ids(file: Path, column: Column[str], *, where: Column[bool] | None = None) -> set[str]:
    """Return the values of a column, of all rows or of those for which another one holds.

    Of none of them where that other column is not there yet: a copy can be of an older version.
    """
    query = select(column)
    engine = reading_engine(file)
    try:
        with engine.connect() as connection:
            found = connection.exec_driver_sql("PRAGMA integrity_check").scalars().all()
            if found == ["ok"]:
                if where is not None:
                    known = {each["name"] for each in inspect(connection).get_columns("tables")}
                    query = query.where(where.is_(True) if where.name in known else false())
                return set(connection.scalars(query))
    except DBAPIError as error:
        found = [database_words(error)]
    finally:
        engine.dispose()
    raise NotALab(f"{file} is damaged: {found[0]}.", hint="Use another copy.")


@contextmanager
def _disk_willing() -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise NotCopied(
            f"The disk refused: {error.strerror}.",
            hint="Look whether the folder is there, has room and can be written to.",
        ) from error
    except DBAPIError as error:
        raise NotCopied(
            f"This could not be copied: {database_words(error)}.", hint=hint_for(error)
        ) from error


@contextmanager
def _half_made(conditions: Path) -> Iterator[Path]:
    # Where the whole will stand, so that it gets there by a change of name alone. A folder that
    # is not there is not made: it may be a disk that is not in.
    half = Path(mkdtemp(prefix=".crustbreak-", dir=conditions))
    try:
        half.chmod(FOLDER_MODE)
        yield half
    finally:
        shutil.rmtree(half, ignore_errors=True)


@contextmanager
def _aside(folder: Path, at: datetime) -> Iterator[Path | None]:
    """Move the lab's files into a folder of their own, and back when what follows fails."""
    present = _parts_in(folder)
    if not present:
        yield None
        return
    aside = _new_folder(folder, at)
    moved: list[Path] = []
    try:
        for file in present:
            moved.append(file.rename(aside / file.name))
        yield aside
    except BaseException:
        for file in moved:
            file.replace(folder / file.name)
        aside.rmdir()
        raise


@contextmanager
def _all_or_none(ready: Path) -> Iterator[list[Path]]:
    put: list[Path] = []
    try:
        yield put
    except BaseException:
        for file in put:
            file.replace(ready / file.name)
        raise


def _parts_in(folder: Path) -> list[Path]:
    files = (folder / f"{name}{part}" for name in FILES for part in PARTS)
    return [file for file in files if file.exists()]


def _new_folder(folder: Path, at: datetime) -> Path:
    name = f"before-{at:%Y-%m-%d-%H%M%S}"
    names = (name if nth == 1 else f"{name}-{nth}" for nth in count(1))
    new = next(folder / each for each in names if not (folder / each).exists())
    new.mkdir(mode=FOLDER_MODE)
    return new


def _flush(path: Path) -> None:
    # Windows opens no folder, and keeps names by itself.
    if os.name == "nt" and path.is_dir():
        return
    file = os.open(path, os.O_RDONLY)
    try:
        os.fsync(file)
    finally:
        os.close(file)
