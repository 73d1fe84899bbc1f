"""A lab of years in seconds: decided tables cloned in bulk, and a count of what is asked of it."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, MetaData, event, func, insert, select
from sqlalchemy import Table as SqlTable

from crustbreak.store.connections import writing_engine
from crustbreak.store.key_store import KEYS_FILE
from crustbreak.store.repository import BOOKS_FILE
from crustbreak.store.schema import BOOKS, KEYS

A_DAY = timedelta(days=1)
# Each copy of a row has its own of these; places and coffees are told apart by their table.
OWN = ("table_id", "seat_id", "entry_id", "id", "token", "secret_hash", "code")
# What moves up with the entries, so that an act still closes behind the same ones.
COUNTED = "arrival"
# Quarters of a point by which copies of a mark differ.
QUARTERS = (-0.25, 0.0, 0.25)


def clone_tables(folder: Path, tables: Sequence[str], copies: int) -> None:
    """Add copies of decided tables to a closed lab, one a day before the oldest.

    Args:  tables: ids, copied in turn; the copies have ids, times, coffees and marks of their own.
    """
    for path, metadata in ((folder / BOOKS_FILE, BOOKS), (folder / KEYS_FILE, KEYS)):
        engine = writing_engine(path)
        with engine.connect() as connection, connection.begin():
            for made in _cloned(connection, metadata, tables, copies):
                connection.execute(insert(made.table), made.rows)
        engine.dispose()


@dataclass(frozen=True)
class _Made:
    table: SqlTable
    rows: list[dict[str, Any]] = field(default_factory=list)


def _cloned(
    connection: Connection, metadata: MetaData, tables: Sequence[str], copies: int
) -> Iterator[_Made]:
    step = _highest(connection, metadata) + 1
    for table in metadata.sorted_tables:
        if "table_id" not in table.c:
            continue
        of = {each: _rows_of(connection, table, each) for each in tables}
        rows = [
            _copy(row, copy, step=step)
            for copy in range(1, copies + 1)
            for row in of[tables[copy % len(tables)]]
        ]
        if rows:
            yield _Made(table, rows)


def _highest(connection: Connection, metadata: MetaData) -> int:
    counted = (table.c[COUNTED] for table in metadata.sorted_tables if COUNTED in table.c)
    return max((connection.scalar(select(func.max(each))) or 0 for each in counted), default=0)


def _rows_of(connection: Connection, table: SqlTable, table_id: str) -> list[dict[str, Any]]:
    found = connection.execute(select(table).where(table.c.table_id == table_id))
    return [dict(row) for row in found.mappings()]


def _copy(row: Mapping[str, Any], copy: int, *, step: int) -> dict[str, Any]:
    made = {name: _moved(value, copy) for name, value in row.items()}
    for name in OWN:
        # The code of a place is a card on the table, not a secret of it.
        if made.get(name) and not (name == "code" and "cups" in row):
            made[name] = f"{copy:05d}{made[name]}"
    if made.get(COUNTED):
        made[COUNTED] += step * copy
    if "order_class" in row and "name" in row and not row["is_control"]:
        made["name"] = f"{made['name']} {copy}"
    if row.get("line") and isinstance(row["value"], float) and row["value"] > 1:
        made["value"] = row["value"] + QUARTERS[(copy + row[COUNTED]) % len(QUARTERS)]
    return made


def _moved(value: Any, copy: int) -> Any:
    return value - copy * A_DAY if isinstance(value, datetime) else value


@contextmanager
def counted_statements() -> Iterator[list[str]]:
    """Collect every statement that any open lab asks of its files; not where one begins or ends."""
    asked: list[str] = []

    def note(_connection: object, _cursor: object, statement: str, *_rest: object) -> None:
        if not statement.startswith(("BEGIN", "SAVEPOINT", "RELEASE")):
            asked.append(statement)

    event.listen(Engine, "before_cursor_execute", note)
    try:
        yield asked
    finally:
        event.remove(Engine, "before_cursor_execute", note)
