"""The keys in `keys.db`, a file of its own: what stands under a code is told by it alone."""

from collections.abc import Collection, Mapping
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Row, insert, select
from sqlalchemy.exc import IntegrityError

from crustbreak.core.errors import NotThere
from crustbreak.domain.records.keys import Key
from crustbreak.store import schema
from crustbreak.store.errors import Clash
from crustbreak.store.migrate import KEYS_LINE
from crustbreak.store.open_file import InFile, open_file

KEYS_FILE = "keys.db"


class SqliteKeyStore(InFile):
    """`ports.repository.KeyBox` in one SQLite file."""

    def seal(self, table_id: str, key: Key) -> None:
        """Put a key away; Clash when the table has one."""

        def put(connection: Connection) -> None:
            row = {"table_id": table_id, "coffee_of": dict(key.coffee_of), "seed": key.seed}
            try:
                connection.execute(insert(schema.keys), row)
            except IntegrityError as error:
                raise Clash(
                    "This table's key is sealed already.",
                    hint="Plan a new table: a key is drawn once and never changed.",
                ) from error

        self._file.writer.run(put)

    def open(self, table_id: str) -> Key:
        """Return a table's key; NotThere when there is none."""
        query = select(schema.keys).where(schema.keys.c.table_id == table_id)
        row = self._file.reader.run(lambda connection: connection.execute(query).first())
        if row is None:
            raise NotThere("There is no key of such a table.", hint="Look at the list of tables.")
        return _read_key(row)

    def open_all(self, table_ids: Collection[str]) -> Mapping[str, Key]:
        """Return the keys of tables by id, in one query; a table without one is left out."""
        query = select(schema.keys).where(schema.keys.c.table_id.in_(table_ids))
        rows = self._file.reader.run(lambda connection: connection.execute(query).all())
        return {row.table_id: _read_key(row) for row in rows}


def _read_key(row: Row[Any]) -> Key:
    return Key(coffee_of=row.coffee_of, seed=row.seed)


def open_key_store(folder: Path, *, locked: bool = False) -> SqliteKeyStore:
    """Open the keys in a folder, or begin them, for this process alone.

    Args:    locked: the caller holds the lock of the file.
    Raises:  LabInUse, NewerLab or NotALab.
    """
    return SqliteKeyStore(open_file(folder / KEYS_FILE, KEYS_LINE, locked=locked))
