from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest

from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.tables import Table
from crustbreak.domain.records.verdicts import Verdict
from crustbreak.footing.errors import NotThere, NotYours
from crustbreak.ports.books import Joining, KeptEntry, Reading, Writing
from crustbreak.store.books import SqliteBooks
from crustbreak.store.reading import BooksReading


def add_tables(books: SqliteBooks, tables: list[Table]) -> None:
    def work(writing: Writing) -> None:
        for table in tables:
            writing.add_table(table, (Coffee(id="c", name="C"),), token=f"token of {table.id}")

    books.write(work)


def test_the_books_are_asked_through_one_class(books: SqliteBooks) -> None:
    assert books.read(type) is BooksReading


def test_a_table_comes_back_as_it_was_planned(books: SqliteBooks, table: Table) -> None:
    assert books.read(lambda reading: reading.table(table.id)) == table


def test_the_newest_table_comes_first(
    books: SqliteBooks, make_table: Callable[..., Table], moment: datetime
) -> None:
    tables = [
        make_table(name, planned_at=moment + timedelta(milliseconds=after))
        for name, after in (("b", 1), ("c", 0), ("a", 2))
    ]
    add_tables(books, tables)

    read = books.read(lambda reading: reading.tables())

    assert [table.id for table in read] == ["a", "b", "c"]
    assert set(read) == set(tables)


def test_all_tables_take_as_many_queries_as_one(
    books: SqliteBooks, make_table: Callable[..., Table], counted: Callable[..., Any]
) -> None:
    queries = {}
    for number in (10, 20):
        add_tables(books, [make_table(f"table {each}") for each in range(number - 10, number)])
        with counted("before_cursor_execute") as statements:
            assert len(books.read(lambda reading: reading.tables())) == number
        queries[number] = len(statements)

    assert queries == {10: 5, 20: 5}, "BEGIN, tables, flights, places, seats"


def test_all_events_take_one_query(
    books: SqliteBooks,
    make_table: Callable[..., Table],
    counted: Callable[..., Any],
    moment: datetime,
) -> None:
    names = [f"table {each}" for each in range(20)]
    add_tables(books, [make_table(name) for name in (*names, "one without an event")])
    for name in names:
        books.write(lambda writing, name=name: writing.add_event(name, "table set", at=moment))
        books.write(lambda writing, name=name: writing.add_event(name, "poured", at=moment))

    with counted("before_cursor_execute") as statements:
        events = books.read(lambda reading: reading.events_by_table())

    assert len(statements) == 2, "BEGIN, events"
    assert {name: [event.number for event in acts] for name, acts in events.items()} == {
        name: [1, 2] for name in names
    }


def test_coffees_come_in_the_order_typed(books: SqliteBooks, table: Table) -> None:
    coffees = books.read(lambda reading: reading.coffees(table.id))

    assert [coffee.name for coffee in coffees] == ["Sidra", "Anaerobic", "B"]


def test_an_invitation_leads_to_its_table_and_back(books: SqliteBooks, table: Table) -> None:
    token = books.read(lambda reading: reading.invitation(table.id))

    assert books.read(lambda reading: reading.invited(token)) == table


@pytest.mark.parametrize(
    "ask",
    [
        pytest.param(lambda reading: reading.table("nobody's"), id="table"),
        pytest.param(lambda reading: reading.invitation("nobody's"), id="invitation"),
        pytest.param(lambda reading: reading.invited("nobody's"), id="invited"),
        pytest.param(lambda reading: reading.invited("\ud800"), id="invited by no text at all"),
    ],
)
def test_what_is_not_there_is_said_with_a_hint(
    books: SqliteBooks, table: Table, ask: Callable[[Reading], object]
) -> None:
    with pytest.raises(NotThere) as refused:
        books.read(ask)

    assert refused.value.hint


def test_an_unknown_secret_is_nobodys(books: SqliteBooks, table: Table) -> None:
    with pytest.raises(NotYours):
        books.read(lambda reading: reading.joining("0" * 64))


def test_nothing_was_said_at_an_unknown_table(books: SqliteBooks) -> None:
    def ask(reading: Reading) -> list[object]:
        return [
            reading.coffees("x"),
            reading.entries("x"),
            reading.set_asides("x"),
            reading.events("x"),
            reading.joinings("x"),
            reading.events_by_table().get("x", ()),
        ]

    assert books.read(ask) == [()] * 6
    assert books.read(lambda reading: reading.verdict("x")) is None
    assert books.read(lambda reading: reading.entry("x")) is None
    assert books.read(lambda reading: reading.entry_at("x", 1, 1)) is None


def test_entries_come_in_the_order_of_arrival(
    books: SqliteBooks, table: Table, make_entry: Callable[..., KeptEntry]
) -> None:
    arrived = [make_entry(3), make_entry(1), make_entry(2, seat_id="table-1-seat-2")]
    for kept in arrived:
        books.write(lambda writing, kept=kept: writing.add_entry(kept))

    assert books.read(lambda reading: reading.entries(table.id)) == tuple(arrived)


def test_an_entry_is_found_by_its_id_and_by_its_number(
    books: SqliteBooks, table: Table, make_entry: Callable[..., KeptEntry]
) -> None:
    kept = make_entry(7, id="f" * 32)
    books.write(lambda writing: writing.add_entry(kept))

    assert books.read(lambda reading: reading.entry("f" * 32)) == kept
    assert books.read(lambda reading: reading.entry_at("table-1-seat-1", 1, 7)) == kept
    assert books.read(lambda reading: reading.entry_at("table-1-seat-1", 2, 7)) is None


def test_devices_come_in_the_order_in_which_they_joined(
    books: SqliteBooks, table: Table, moment: datetime
) -> None:
    joinings = [
        Joining(table_id=table.id, seat_id=seat.id, grip=grip, secret_hash=secret, joined_at=moment)
        for seat, grip, secret in (
            (table.seats[1], 1, "z" * 64),
            (table.seats[0], 1, "y" * 64),
            (table.seats[1], 2, "x" * 64),
        )
    ]
    for joining in joinings:
        books.write(lambda writing, joining=joining: writing.add_joining(joining))

    assert books.read(lambda reading: reading.joinings(table.id)) == tuple(joinings)
    assert books.read(lambda reading: reading.joining("x" * 64)) == joinings[2]


def test_the_latest_verdict_counts(books: SqliteBooks, table: Table, moment: datetime) -> None:
    first, second = (
        Verdict(table_id=table.id, decided_at=moment, decided_by=who, record="{}", digest="0" * 64)
        for who in ("Mona", "Ada")
    )
    books.write(lambda writing: writing.add_verdict(first))
    books.write(lambda writing: writing.add_verdict(second))

    assert books.read(lambda reading: reading.verdict(table.id)) == second
