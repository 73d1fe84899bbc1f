import json
from collections.abc import Callable
from dataclasses import replace
from types import SimpleNamespace
from typing import Any, cast

from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.numbered_bowls import BowlReading, NumberedBowls
from crustbreak.domain.records.tables import Flight, Place, Screening, Seat, Table
from crustbreak.domain.records.tasting_orders import TastingOrder
from crustbreak.domain.tables.entries import Event
from crustbreak.ports.repository import KeptEntry
from crustbreak.store import schema
from crustbreak.store.rows import (
    coffee_rows,
    entry_row,
    event_row,
    flight_rows,
    numbered_bowls_rows,
    place_rows,
    read_coffee,
    read_entry,
    read_event,
    read_listed,
    read_numbered_bowls,
    read_record,
    read_tables,
    record_row,
    seat_rows,
    state_row,
    table_row,
)


def as_rows(rows: list[dict[str, Any]]) -> list[Any]:
    return [SimpleNamespace(**row) for row in rows]


def columns(table: Any) -> set[str]:
    return {column.name for column in table.c} - {"arrival", "site"}


def test_a_record_comes_back_from_its_row(moment: Any) -> None:
    event = Event(table_id="table-1", number=3, kind="poured", at=moment)

    row = record_row(event)

    assert set(row) == columns(schema.events) | {"arrival"}
    assert read_record(Event, SimpleNamespace(**row, more="ignored")) == event


def test_an_entry_comes_back_from_its_row(make_entry: Callable[..., KeptEntry]) -> None:
    kept = make_entry(4, value="Ananas", late=True)

    row = entry_row(kept)

    assert set(row) == columns(schema.entries)
    assert read_entry(SimpleNamespace(**row, arrival=9)) == replace(kept, arrival=9)


def test_tables_come_back_from_all_their_rows(make_table: Callable[..., Table]) -> None:
    tables = (make_table("one"), make_table("two"))

    read = read_tables(
        as_rows([table_row(table) for table in tables]),
        flights=as_rows([row for table in tables for row in flight_rows(table)]),
        places=as_rows([row for table in tables for row in place_rows(table)]),
        seats=as_rows([row for table in tables for row in seat_rows(table)]),
    )

    assert read == tables


def test_a_walk_comes_back_with_its_seat(make_table: Callable[..., Table]) -> None:
    tasting_order = TastingOrder(there=(1, 0, 2), back=(2, 0, 1))
    seats = (Seat(id="a", taster="Ines", tasting_order=tasting_order), Seat(id="b", taster="Tomas"))
    table = make_table(seats=seats, flights=())
    # As it comes out of the file.
    kept = json.loads(json.dumps(seat_rows(table)))

    (read,) = read_tables(as_rows([table_row(table)]), flights=[], places=[], seats=as_rows(kept))

    assert read.seats == seats


def test_a_tables_rows_fill_the_columns(make_table: Callable[..., Table]) -> None:
    table = make_table()

    # How sure has a column of its own on tables of an earlier version alone.
    assert set(table_row(table)) == columns(schema.tables) - {"certainty"}
    assert set(flight_rows(table)[0]) == columns(schema.flights)
    assert set(place_rows(table)[0]) == columns(schema.places)
    assert set(seat_rows(table)[0]) == columns(schema.seats)


def test_coffees_are_numbered_as_typed() -> None:
    rows = coffee_rows("table-1", (Coffee(id="b", name="B"), Coffee(id="a", name="A")))

    assert set(rows[0]) == columns(schema.coffees)
    assert [(row["position"], row["name"]) for row in rows] == [(0, "B"), (1, "A")]


def test_a_table_without_a_seat_is_read_as_one(make_table: Callable[..., Table]) -> None:
    table = make_table(seats=(), flights=())

    assert read_tables(as_rows([table_row(table)]), flights=[], places=[], seats=[]) == (table,)


def test_a_coffee_comes_back_from_its_row_and_from_one_of_an_earlier_version() -> None:
    coffee = Coffee(id="c", name="Tarn", price=7.25, kilos=600.0, order_class=2)
    (row,) = as_rows(coffee_rows("table-1", [coffee]))
    unsaid = dict.fromkeys(("is_control", "price", "kilos", "order_class"))
    earlier = SimpleNamespace(coffee_id="c", name="Tarn", **unsaid)

    assert read_coffee(row) == coffee
    assert read_coffee(earlier) == Coffee(id="c", name="Tarn")


def test_an_act_about_bowls_comes_back_with_its_readings(moment: Any) -> None:
    readings = (BowlReading(place_id="p", number=6), BowlReading(place_id="q", is_mixed=True))
    act = Event(table_id="t", number=3, kind="bowls read", at=moment, readings=readings)

    (row,) = as_rows([event_row(act)])

    assert row.readings[0] == {"place_id": "p", "number": 6, "check": None, "is_mixed": False}
    assert read_event(row) == act


def test_an_act_about_no_bowls_has_no_readings(moment: Any) -> None:
    act = Event(table_id="t", number=3, kind="poured", at=moment)

    assert read_event(as_rows([event_row(act)])[0]) == act


def test_trays_come_back_as_they_were_filled() -> None:
    numbered_bowls = (
        NumberedBowls(coffee_id="c", bowls=(1, 2), order_class=2),
        NumberedBowls(coffee_id="d", bowls=(3,)),
    )

    rows = as_rows(numbered_bowls_rows("t", numbered_bowls))

    assert [row.position for row in rows] == [0, 1]
    assert tuple(read_numbered_bowls(row) for row in rows) == numbered_bowls


def test_a_flight_of_a_first_look_comes_back_as_one(make_table: Callable[..., Table]) -> None:
    look = Screening(id="look", nth=2, of=4, by_class=True, occasion="Flood")
    table = make_table(screening=look, flights=(), seats=())

    (read,) = read_tables(as_rows([table_row(table)]), flights=[], places=[], seats=[])

    assert read.screening == look


def test_an_open_bowl_and_what_a_table_adds_to_come_back(make_table: Callable[..., Table]) -> None:
    conditions = Place(id="p", code="open", cups=1, is_open=True)
    table = make_table(
        flights=(Flight(id="f", places=(conditions,)),),
        seats=(),
        asked={"version": 1, "certainty": 0.95},
        follows="t0",
    )

    (read,) = read_tables(
        as_rows([table_row(table)]),
        flights=as_rows(flight_rows(table)),
        places=as_rows(place_rows(table)),
        seats=[],
    )

    assert read == table


def test_an_older_table_keeps_how_sure_in_a_column_of_its_own(
    make_table: Callable[..., Table],
) -> None:
    row = {**table_row(make_table(seats=(), flights=())), "asked": None, "certainty": 0.95}

    (read,) = read_tables(as_rows([row]), flights=[], places=[], seats=[])

    assert dict(read.asked) == {"certainty": 0.95}


def test_a_planned_table_is_listed_as_it_was_planned(make_table: Callable[..., Table]) -> None:
    look = Screening(id="look", nth=2, of=3, by_class=False, occasion="Flood")
    table = make_table(screening=look, follows="table-0")

    row = state_row(table)
    listed = read_listed(cast("Any", (*row.values(), 4, 3, 2, 1)))

    assert set(row) == columns(schema.table_states)
    assert (listed.id, listed.question, listed.sheet) == ("table-1", "choose", "ten_line/1")
    assert (listed.planned_at, listed.screening) == (table.planned_at, "look")
    assert (listed.follows, listed.ended, listed.uncovered_at) == ("table-0", "", None)
    assert listed.version == (4, 3, 2, 1)
