import json
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from sqlalchemy import Column, Engine, MetaData, Text, text

from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.recipes import STANDARD
from crustbreak.domain.records.sample_conditions import NOTHING_SAID
from crustbreak.domain.records.tables import USUAL_FIRST_ROUND_S, Seat
from crustbreak.store.connections import writing_engine
from crustbreak.store.errors import NewerLab, NotALab
from crustbreak.store.migrate import BOOKS_LINE, KEYS_LINE, bring_up
from crustbreak.store.queries import Queries
from crustbreak.store.schema import BOOKS, KEYS, ONLY_ADDED

LINES = [(BOOKS_LINE, BOOKS), (KEYS_LINE, KEYS)]


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    path = tmp_path / "some.db"
    path.touch()
    made = writing_engine(path)
    yield made
    made.dispose()


def differences(engine: Engine, metadata: MetaData) -> list[object]:
    with engine.connect() as connection, connection.begin():
        context = MigrationContext.configure(
            connection, opts={"compare_type": True, "compare_server_default": True}
        )
        return list(compare_metadata(context, metadata))


def execute(engine: Engine, statement: str, **said: object) -> list[tuple[object, ...]]:
    with engine.connect() as connection, connection.begin():
        result = connection.execute(text(statement), said)
        return [tuple(row) for row in result] if result.returns_rows else []


@pytest.mark.parametrize(("line", "metadata"), LINES)
def test_the_steps_lead_to_the_schema(engine: Engine, line: str, metadata: MetaData) -> None:
    bring_up(engine, line)

    assert differences(engine, metadata) == []


def test_a_table_of_an_earlier_step_has_one_class_and_goes_as_it_stands(engine: Engine) -> None:
    with engine.connect() as connection, connection.begin():
        older = Config()
        older.set_main_option("script_location", "crustbreak.store:migrations")
        older.set_main_option("version_locations", "crustbreak.store:migrations/books")
        older.set_main_option("path_separator", "newline")
        older.attributes["connection"] = connection
        command.upgrade(older, "books_0003")
    execute(
        engine,
        "INSERT INTO tables"
        " (table_id, planned_at, question, sheet, occasion, cut_off, setter, recipe) VALUES"
        " ('t', '2031-03-04T09:30:00.000Z', 'choose', 'ten_line/1', '', 80, 'Wren', :recipe)",
        recipe=json.dumps(asdict(STANDARD)),
    )
    execute(
        engine,
        "INSERT INTO seats (seat_id, table_id, position, taster) VALUES ('s', 't', 0, 'Ines')",
    )
    execute(
        engine,
        "INSERT INTO coffees (table_id, coffee_id, position, name) VALUES ('t', 'c', 0, 'Tarn')",
    )

    bring_up(engine, BOOKS_LINE)

    with engine.connect() as connection:
        repository = Queries(connection)
        table = repository.table("t")
        assert table.seats == (Seat(id="s", taster="Ines"),)
        assert table.conditions == NOTHING_SAID
        assert (table.course, table.first_round_s) == ((), USUAL_FIRST_ROUND_S)
        assert repository.coffees("t") == (Coffee(id="c", name="Tarn"),)


def test_tables_of_an_earlier_step_are_listed_by_what_their_acts_say(engine: Engine) -> None:
    with engine.connect() as connection, connection.begin():
        older = Config()
        older.set_main_option("script_location", "crustbreak.store:migrations")
        older.set_main_option("version_locations", "crustbreak.store:migrations/books")
        older.set_main_option("path_separator", "newline")
        older.attributes["connection"] = connection
        command.upgrade(older, "books_0013")
    acts = {
        "open": (),
        "let in": ("uncovered", "decided", "admitted"),
        "decided": ("uncovered", "decided", "admitted", "decided"),
        "given up": ("abandoned",),
    }
    look = {"id": "look", "nth": 1, "of": 1, "by_class": False, "occasion": "Flood"}
    for name, kinds in acts.items():
        execute(
            engine,
            "INSERT INTO tables (table_id, planned_at, question, sheet, occasion, cut_off, setter,"
            " recipe, first_look) VALUES (:name, '2031-03-04T09:30:00.000Z', 'choose',"
            " 'ten_line/1', '', 80, 'Wren', '{}', :look)",
            name=name,
            look=json.dumps(look if name == "open" else None),
        )
        for number, kind in enumerate(kinds, start=1):
            execute(
                engine,
                "INSERT INTO events (table_id, number, kind, at, detail) VALUES"
                " (:name, :number, :kind, '2031-03-04T09:40:00.000Z', '')",
                name=name,
                number=number,
                kind=kind,
            )

    bring_up(engine, BOOKS_LINE)

    with engine.connect() as connection:
        listed = {each.id: each for each in Queries(connection).listed(tuple(acts))}
    assert {name: each.ended for name, each in listed.items()} == {
        "open": "",
        "let in": "",
        "decided": "decided",
        "given up": "abandoned",
    }
    assert {name for name, each in listed.items() if each.uncovered_at} == {"let in", "decided"}
    assert [name for name, each in listed.items() if each.screening == "look"] == ["open"]


def test_a_column_without_a_step_would_be_seen(engine: Engine) -> None:
    bring_up(engine, KEYS_LINE)
    grown = MetaData(naming_convention=KEYS.naming_convention)
    KEYS.tables["keys"].to_metadata(grown).append_column(Column("planted", Text))

    assert differences(engine, grown)


@pytest.mark.parametrize(("line", "metadata"), LINES)
def test_a_second_time_changes_nothing(engine: Engine, line: str, metadata: MetaData) -> None:
    bring_up(engine, line)
    before = execute(engine, "SELECT sql FROM sqlite_schema ORDER BY name")

    bring_up(engine, line)

    assert execute(engine, "SELECT sql FROM sqlite_schema ORDER BY name") == before


@pytest.mark.parametrize("line", [BOOKS_LINE, KEYS_LINE])
def test_a_file_of_a_newer_version_is_left_alone(engine: Engine, line: str) -> None:
    bring_up(engine, line)
    execute(engine, "UPDATE alembic_version SET version_num = 'books_9999'")

    with pytest.raises(NewerLab) as refused:
        bring_up(engine, line)

    assert "newer version" in refused.value.message
    assert "Install" in refused.value.hint
    assert execute(engine, "SELECT version_num FROM alembic_version") == [("books_9999",)]


def test_a_file_of_another_program_is_left_as_it_was(engine: Engine) -> None:
    execute(engine, "CREATE TABLE events (other TEXT)")

    with pytest.raises(NotALab, match="books cannot be opened"):
        bring_up(engine, BOOKS_LINE)

    assert execute(engine, "SELECT name FROM sqlite_schema") == [("events",)]


def test_a_file_that_is_no_database_is_said_to_be_none(tmp_path: Path) -> None:
    path = tmp_path / "notes.db"
    path.write_text("Not a database at all, but a page of notes. " * 100)
    engine = writing_engine(path)

    with pytest.raises(NotALab) as refused:
        bring_up(engine, BOOKS_LINE)

    engine.dispose()
    assert "not a database" in refused.value.message
    assert "backup" in refused.value.hint


@pytest.mark.parametrize(("line", "tables"), [(BOOKS_LINE, set(ONLY_ADDED)), (KEYS_LINE, {"keys"})])
def test_what_is_only_added_is_guarded_against_both_acts(
    engine: Engine, line: str, tables: set[str]
) -> None:
    bring_up(engine, line)

    guards = execute(engine, "SELECT tbl_name FROM sqlite_schema WHERE type = 'trigger'")

    assert sorted(guards) == sorted((table,) for table in (*tables, *tables))
