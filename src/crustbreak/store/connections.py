"""Connections to one SQLite file: a single one that writes, and as many as needed that read.

The driver is told to begin no transaction by itself. Each begins with a statement of ours, so
that SAVEPOINT, schema changes and reading all stand inside one.
"""

from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Any

from sqlalchemy import Connection, Engine, QueuePool, create_engine, event

# How long a statement waits for somebody else's lock, ms.
BUSY_MS = 5_000

# `recursive_triggers`: without it a row could be replaced past the trigger that guards it.
# `fullfsync`: on macOS a plain flush stops at the drive's own cache; elsewhere without effect.
_WRITING = (
    "journal_mode=WAL",
    "synchronous=FULL",
    "fullfsync=ON",
    "foreign_keys=ON",
    "recursive_triggers=ON",
    f"busy_timeout={BUSY_MS}",
)
_READING = ("query_only=ON", f"busy_timeout={BUSY_MS}")


def sqlite_module() -> ModuleType:
    """Return the newer SQLite where it is installed, else the one that came with Python."""
    try:
        return import_module("pysqlite3.dbapi2")
    except ImportError:
        return import_module("sqlite3.dbapi2")


def writing_engine(path: Path) -> Engine:
    """Return an engine whose pool holds one connection, the only one that writes to the file."""
    engine = _engine(path, "rw", pool_size=1, max_overflow=0)
    _prepare(engine, _WRITING, begin="BEGIN IMMEDIATE")
    return engine


def reading_engine(path: Path) -> Engine:
    """Return an engine whose connections cannot write; the file has to be there."""
    engine = _engine(path, "ro", pool_size=8, max_overflow=-1)
    _prepare(engine, _READING, begin="BEGIN")
    return engine


def copying_engine(path: Path) -> Engine:
    """Return an engine whose one connection only reads, and may copy the whole file to another.

    A copy is made by a statement that stands in no transaction, and that `query_only` refuses,
    though it writes nothing to the file it is asked of.
    """
    engine = _engine(path, "ro", pool_size=1, max_overflow=0)
    _prepare(engine, (f"busy_timeout={BUSY_MS}",), begin=None)
    return engine


def _engine(path: Path, mode: str, *, pool_size: int, max_overflow: int) -> Engine:
    module = sqlite_module()
    return create_engine(
        "sqlite+pysqlite://",
        module=module,
        creator=_opener(module, f"{path.resolve().as_uri()}?mode={mode}"),
        poolclass=QueuePool,
        pool_size=pool_size,
        max_overflow=max_overflow,
        # A commit that failed may leave its transaction open: the pool rolls it back then.
        pool_reset_on_return="rollback",
        # A message of an error, and so the log, holds no coffee's name and no secret.
        hide_parameters=True,
    )


def _opener(module: ModuleType, uri: str) -> Callable[[], Any]:
    # A pooled connection wanders between threads, one at a time.
    return lambda: module.connect(uri, uri=True, check_same_thread=False, isolation_level=None)


def _prepare(engine: Engine, pragmas: tuple[str, ...], *, begin: str | None) -> None:
    def connected(connection: Any, _record: object) -> None:
        for pragma in pragmas:
            connection.execute(f"PRAGMA {pragma}").close()

    def begun(connection: Connection) -> None:
        connection.exec_driver_sql(begin or "")

    event.listen(engine, "connect", connected)
    if begin:
        event.listen(engine, "begin", begun)
