from sqlalchemy.dialects import postgresql
from sqlalchemy.schema import CreateTable

from crustbreak.store.schema import BOOKS, KEYS, ONLY_ADDED


def test_the_key_is_not_in_the_books() -> None:
    assert set(KEYS.tables) == {"keys"}
    assert not set(BOOKS.tables) & set(KEYS.tables)
    assert "seed" not in {column.name for table in BOOKS.tables.values() for column in table.c}


def test_nothing_in_the_books_puts_a_coffee_under_a_place() -> None:
    columns = [{column.name for column in table.c} for table in BOOKS.tables.values()]

    assert not [names for names in columns if {"coffee_id", "place_id"} <= names]


def test_what_is_only_added_is_a_table() -> None:
    assert set(ONLY_ADDED) <= set(BOOKS.tables)


def test_every_table_can_be_made_on_a_server_too() -> None:
    for metadata in (BOOKS, KEYS):
        for table in metadata.tables.values():
            made = str(CreateTable(table).compile(dialect=postgresql.dialect()))
            assert "JSON" not in made
            assert "TIMESTAMP" not in made
