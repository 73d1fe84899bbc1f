import logging
import traceback
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

from crustbreak.core.errors import NotNow, NotThere
from crustbreak.domain.records.keys import Key
from crustbreak.store.connections import writing_engine
from crustbreak.store.errors import LabInUse
from crustbreak.store.key_store import KEYS_FILE, SqliteKeyStore, open_key_store
from crustbreak.store.repository import open_repository

KEY = Key(coffee_of={"place-2": "coffee-1", "place-1": "coffee-ß"}, seed="00ff" * 16)


@pytest.fixture
def box(folder: Path) -> Iterator[SqliteKeyStore]:
    with open_key_store(folder) as opened:
        yield opened


def test_a_key_comes_back_as_it_was_sealed(box: SqliteKeyStore) -> None:
    box.seal("table-1", KEY)

    assert box.open("table-1") == KEY


def test_a_key_is_there_after_the_lab_was_closed(folder: Path) -> None:
    with open_key_store(folder) as box:
        box.seal("table-1", KEY)

    with open_key_store(folder) as box:
        assert box.open("table-1") == KEY


def test_a_table_has_one_key_for_ever(box: SqliteKeyStore) -> None:
    box.seal("table-1", KEY)

    with pytest.raises(NotNow, match="sealed already") as refused:
        box.seal("table-1", Key(coffee_of={}, seed="11"))

    assert refused.value.hint
    assert box.open("table-1") == KEY


def test_a_refused_key_is_not_told_by_the_error(box: SqliteKeyStore) -> None:
    box.seal("table-1", KEY)

    with pytest.raises(NotNow) as refused:
        box.seal("table-1", KEY)

    told = "".join(traceback.format_exception(refused.value))
    assert KEY.seed not in told
    assert "coffee-1" not in told


def test_a_key_is_not_told_by_a_talkative_log(
    box: SqliteKeyStore, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.INFO, logger="sqlalchemy"):
        box.seal("table-1", KEY)

    assert KEY.seed not in caplog.text


def test_an_unknown_table_has_no_key(box: SqliteKeyStore) -> None:
    with pytest.raises(NotThere):
        box.open("nowhere")


def test_a_key_is_neither_changed_nor_dropped(box: SqliteKeyStore, folder: Path) -> None:
    box.seal("table-1", KEY)
    box.close()
    engine = writing_engine(folder / KEYS_FILE)

    for act in ("UPDATE keys SET seed = ''", "DELETE FROM keys"):
        with (
            engine.connect() as connection,
            connection.begin(),
            pytest.raises(IntegrityError, match="only ever added"),
        ):
            connection.execute(text(act))

    engine.dispose()


def test_the_keys_are_in_a_file_that_only_its_owner_reads(
    box: SqliteKeyStore, folder: Path
) -> None:
    box.seal("table-1", KEY)

    modes = {file.name: file.stat().st_mode & 0o777 for file in folder.iterdir()}

    assert {"keys.db", "keys.db-wal"} <= set(modes)
    assert set(modes.values()) == {0o600}


def test_no_byte_of_the_key_is_in_the_books(box: SqliteKeyStore, folder: Path) -> None:
    with open_repository(folder):
        box.seal("table-1", KEY)
        written = b"".join(file.read_bytes() for file in folder.glob("lab.db*"))

    assert KEY.seed.encode() not in written


def test_the_keys_are_not_opened_twice(box: SqliteKeyStore, folder: Path) -> None:
    with pytest.raises(LabInUse):
        open_key_store(folder)
