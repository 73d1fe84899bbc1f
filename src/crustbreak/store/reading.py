"""What can be asked of the books, as queries on a connection."""

from collections.abc import Mapping, Sequence
from itertools import groupby
from operator import attrgetter
from typing import Any

from sqlalchemy import ColumnElement, Connection, Row, Select, select

from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.tables import Table
from crustbreak.domain.records.verdicts import Verdict
from crustbreak.domain.table.entries import Event
from crustbreak.footing.errors import NotThere, NotYours
from crustbreak.ports.books import Joining, KeptEntry, SetAside
from crustbreak.store import rows, schema


class BooksReading:
    """`ports.books.Reading` on a connection; of no use after the transaction."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def tables(self) -> tuple[Table, ...]:
        """Give all tables, the newest first."""
        return self._tables()

    def table(self, table_id: str) -> Table:
        """Give one table; NotThere when there is none."""
        found = self._tables(schema.tables.c.table_id == table_id)
        if not found:
            raise NotThere("There is no such table.", hint="Look at the list of tables.")
        return found[0]

    def coffees(self, table_id: str) -> tuple[Coffee, ...]:
        """Give a table's coffees in the order typed."""
        coffees = schema.coffees
        query = select(coffees).where(coffees.c.table_id == table_id).order_by(coffees.c.position)
        return tuple(Coffee(id=row.coffee_id, name=row.name) for row in self._all(query))

    def invitation(self, table_id: str) -> str:
        """Give the token by which a device joins the table; NotThere when there is none."""
        query = select(schema.invitations).where(schema.invitations.c.table_id == table_id)
        row = self._first(query)
        if row is None:
            raise NotThere("There is no such table.", hint="Look at the list of tables.")
        token: str = row.token
        return token

    def invited(self, token: str) -> Table:
        """Give the table of an invitation; NotThere when there is none."""
        row = self._first(select(schema.invitations).where(schema.invitations.c.token == token))
        if row is None:
            raise NotThere(
                "This invitation is none of this lab's.", hint="Scan the code on the host's screen."
            )
        return self.table(row.table_id)

    def entries(self, table_id: str) -> tuple[KeptEntry, ...]:
        """Give everything the devices said, in the order of arrival."""
        entries = schema.entries
        query = select(entries).where(entries.c.table_id == table_id).order_by(entries.c.arrival)
        return tuple(rows.read_entry(row) for row in self._all(query))

    def entry(self, entry_id: str) -> KeptEntry | None:
        """Give one entry by its id, or None."""
        return self._entry(schema.entries.c.entry_id == entry_id)

    def entry_at(self, seat_id: str, grip: int, no: int) -> KeptEntry | None:
        """Give the entry that a seat's device numbered so, or None."""
        entries = schema.entries.c
        return self._entry(entries.seat_id == seat_id, entries.grip == grip, entries.no == no)

    def set_asides(self, table_id: str) -> tuple[SetAside, ...]:
        """Give what was set aside, in the order of arrival."""
        asides = schema.set_asides
        query = select(asides).where(asides.c.table_id == table_id).order_by(asides.c.arrival)
        return tuple(rows.read_record(SetAside, row) for row in self._all(query))

    def events(self, table_id: str) -> tuple[Event, ...]:
        """Give the host's acts by number."""
        events = schema.events
        query = select(events).where(events.c.table_id == table_id).order_by(events.c.number)
        return tuple(rows.read_record(Event, row) for row in self._all(query))

    def events_by_table(self) -> Mapping[str, tuple[Event, ...]]:
        """Give every table's events by number, in one query; no table without an event."""
        events = schema.events
        query = select(events).order_by(events.c.table_id, events.c.number)
        every = (rows.read_record(Event, row) for row in self._all(query))
        return {
            table_id: tuple(of_table)
            for table_id, of_table in groupby(every, key=attrgetter("table_id"))
        }

    def joinings(self, table_id: str) -> tuple[Joining, ...]:
        """Give the devices that took seats, in order."""
        joinings = schema.joinings
        query = select(joinings).where(joinings.c.table_id == table_id).order_by(joinings.c.arrival)
        return tuple(rows.read_record(Joining, row) for row in self._all(query))

    def joining(self, secret_hash: str) -> Joining:
        """Give the device with this secret; NotYours when there is none."""
        joinings = schema.joinings
        row = self._first(select(joinings).where(joinings.c.secret_hash == secret_hash))
        if row is None:
            raise NotYours(
                "This phone has no seat here.", hint="Scan the code on the host's screen."
            )
        return rows.read_record(Joining, row)

    def verdict(self, table_id: str) -> Verdict | None:
        """Give the table's latest verdict, or None."""
        verdicts = schema.verdicts
        query = select(verdicts).where(verdicts.c.table_id == table_id)
        row = self._first(query.order_by(verdicts.c.arrival.desc()).limit(1))
        return rows.read_record(Verdict, row) if row else None

    def _tables(self, *conditions: ColumnElement[bool]) -> tuple[Table, ...]:
        # Four queries, however many tables there are.
        tables, flights, places, seats = (
            schema.tables,
            schema.flights,
            schema.places,
            schema.seats,
        )
        query = select(tables).where(*conditions)
        chosen = select(tables.c.table_id).where(*conditions)
        return rows.read_tables(
            self._all(query.order_by(tables.c.planned_at.desc(), tables.c.table_id)),
            flights=self._all(
                select(flights)
                .where(flights.c.table_id.in_(chosen))
                .order_by(flights.c.table_id, flights.c.position)
            ),
            places=self._all(
                select(places)
                .where(places.c.table_id.in_(chosen))
                .order_by(places.c.table_id, places.c.flight_id, places.c.position)
            ),
            seats=self._all(
                select(seats)
                .where(seats.c.table_id.in_(chosen))
                .order_by(seats.c.table_id, seats.c.position)
            ),
        )

    def _entry(self, *conditions: ColumnElement[bool]) -> KeptEntry | None:
        row = self._first(select(schema.entries).where(*conditions))
        return rows.read_entry(row) if row else None

    def _all(self, query: Select[Any]) -> Sequence[Row[Any]]:
        return self._connection.execute(query).all()

    def _first(self, query: Select[Any]) -> Row[Any] | None:
        return self._connection.execute(query).first()
