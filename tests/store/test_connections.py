from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import Engine, text
from sqlalchemy.exc import OperationalError

from crustbreak.store.connections import (
    copying_engine,
    reading_engine,
    sqlite_module,
    writing_engine,
)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    made = tmp_path / "what? 100% #1.db"
    made.touch()
    return made


@pytest.fixture
def writing(path: Path) -> Iterator[Engine]:
    engine = writing_engine(path)
    with engine.connect() as connection, connection.begin():
        connection.execute(text("CREATE TABLE kept (word TEXT)"))
    yield engine
    engine.dispose()


@pytest.fixture
def reading(path: Path, writing: Engine) -> Iterator[Engine]:
    engine = reading_engine(path)
    yield engine
    engine.dispose()


def pragma(engine: Engine, name: str) -> object:
    with engine.connect() as connection, connection.begin():
        return connection.scalar(text(f"PRAGMA {name}"))


def test_the_module_is_one_that_can_return_what_it_wrote() -> None:
    assert sqlite_module().sqlite_version_info >= (3, 35)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("journal_mode", "wal"),
        # 2 is FULL: the log is flushed before a commit returns.
        ("synchronous", 2),
        ("foreign_keys", 1),
        ("recursive_triggers", 1),
        ("busy_timeout", 5_000),
    ],
)
def test_who_writes_flushes_and_checks(writing: Engine, name: str, value: object) -> None:
    assert pragma(writing, name) == value


def test_schema_changes_stand_inside_the_transaction(writing: Engine) -> None:
    with writing.connect() as connection, connection.begin() as transaction:
        connection.execute(text("CREATE TABLE other (word TEXT)"))
        transaction.rollback()

    with writing.connect() as connection, connection.begin():
        assert not connection.scalar(
            text("SELECT count(*) FROM sqlite_schema WHERE name = 'other'")
        )


def test_who_reads_cannot_write(reading: Engine) -> None:
    with (
        reading.connect() as connection,
        connection.begin(),
        pytest.raises(OperationalError, match="readonly"),
    ):
        connection.execute(text("INSERT INTO kept VALUES ('no')"))


def test_who_reads_cannot_write_with_query_only_taken_off(reading: Engine) -> None:
    with reading.connect() as connection, connection.begin():
        connection.execute(text("PRAGMA query_only=OFF"))
        with pytest.raises(OperationalError, match="readonly"):
            connection.execute(text("INSERT INTO kept VALUES ('no')"))
        connection.execute(text("PRAGMA query_only=ON"))


def test_a_question_sees_one_state_while_another_is_written(
    reading: Engine, writing: Engine
) -> None:
    count = text("SELECT count(*) FROM kept")
    with reading.connect() as asking, asking.begin():
        before = asking.scalar(count)
        with writing.connect() as connection, connection.begin():
            connection.execute(text("INSERT INTO kept VALUES ('more')"))

        assert asking.scalar(count) == before == 0


def test_who_reads_does_not_make_a_file(tmp_path: Path) -> None:
    engine = reading_engine(tmp_path / "nothing.db")

    with pytest.raises(OperationalError, match="unable to open"):
        engine.connect()

    assert not list(tmp_path.iterdir())


def test_an_error_does_not_spell_out_what_was_to_be_written(writing: Engine) -> None:
    with (
        writing.connect() as connection,
        connection.begin(),
        pytest.raises(OperationalError) as failed,
    ):
        connection.execute(text("INSERT INTO nowhere VALUES (:name)"), {"name": "Sidra"})

    assert "Sidra" not in str(failed.value)


def test_who_copies_copies_the_whole_and_changes_nothing(path: Path, writing: Engine) -> None:
    copying, copy = copying_engine(path), path.with_name("copy.db")

    with copying.connect() as connection:
        connection.exec_driver_sql("VACUUM INTO ?", (str(copy),))
        with pytest.raises(OperationalError, match="readonly"):
            connection.exec_driver_sql("INSERT INTO kept VALUES ('word')")
    copying.dispose()

    copied = reading_engine(copy)
    with copied.connect() as connection:
        assert connection.scalar(text("SELECT count(*) FROM kept")) == 0
    copied.dispose()
