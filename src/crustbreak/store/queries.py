"""What can be asked of the records, as queries on a connection."""

from collections.abc import Collection, Mapping
from typing import Any

from sqlalchemy import ColumnElement, Row, ScalarSelect, Select, bindparam, func, select
from sqlalchemy import Table as SqlTable

from crustbreak.core.errors import NotThere, NotYours
from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.numbered_bowls import NumberedBowls
from crustbreak.domain.records.tables import Table
from crustbreak.domain.records.verdicts import Verdict
from crustbreak.domain.tables.entries import Event
from crustbreak.domain.tables.transitions import CLOSING_ACTS
from crustbreak.ports.repository import Glance, Helper, Joining, KeptEntry, Pass, SetAside, Tap
from crustbreak.store import rows, schema
from crustbreak.store.document_queries import DocumentQueries
from crustbreak.store.list_queries import ListsReading

# Asked for every mark of every taster, and so put together once.
_ENTRIES, _EVENTS, _JOININGS = schema.entries.c, schema.events.c, schema.joinings.c
HAND_INS = select(_ENTRIES.grip, _ENTRIES.no).where(
    _ENTRIES.seat_id == bindparam("seat"), _ENTRIES.kind == "hand_in", _ENTRIES.late.is_(False)
)
EVENTS = (
    select(schema.events).where(_EVENTS.table_id == bindparam("table")).order_by(_EVENTS.number)
)


def _last(column: ColumnElement[int], table_id: ColumnElement[str]) -> ScalarSelect[Any]:
    query = select(func.coalesce(func.max(column), 0))
    return query.where(table_id == bindparam("table")).scalar_subquery()


VERSION = select(
    _last(_ENTRIES.arrival, _ENTRIES.table_id),
    _last(_EVENTS.number, _EVENTS.table_id),
    _last(_JOININGS.arrival, _JOININGS.table_id),
    _last(schema.set_asides.c.arrival, schema.set_asides.c.table_id),
)


def _count(table: SqlTable, *conditions: ColumnElement[bool]) -> ScalarSelect[Any]:
    return select(func.count()).select_from(table).where(*conditions).scalar_subquery()


GLANCE = select(
    _count(schema.events, _EVENTS.table_id == bindparam("table"), _EVENTS.kind.in_(CLOSING_ACTS)),
    _count(
        schema.events,
        _EVENTS.table_id == bindparam("table"),
        _EVENTS.seat_id == bindparam("seat"),
        _EVENTS.kind == "device refused",
    ),
    _count(
        schema.entries,
        _ENTRIES.seat_id == bindparam("seat"),
        _ENTRIES.kind == "hand_in",
        _ENTRIES.late.is_(False),
    ),
    select(func.coalesce(func.max(_JOININGS.grip), 0))
    .where(_JOININGS.seat_id == bindparam("seat"))
    .scalar_subquery(),
)


class Queries(ListsReading, DocumentQueries):
    """`ports.repository.Reading` on a connection; of no use after the transaction."""

    is_writing = False

    def tables(self) -> tuple[Table, ...]:
        """Return all tables, the newest first."""
        return self._tables()

    def table(self, table_id: str) -> Table:
        """Return one table; NotThere when there is none."""
        found = self._tables(schema.tables.c.table_id == table_id)
        if not found:
            raise NotThere("There is no such table.", hint="Look at the list of tables.")
        return found[0]

    def tables_of(self, table_ids: Collection[str]) -> Mapping[str, Table]:
        """Return tables by id; one that is not there is left out."""
        found = self._tables(schema.tables.c.table_id.in_(table_ids)) if table_ids else ()
        return {table.id: table for table in found}

    def coffees(self, table_id: str) -> tuple[Coffee, ...]:
        """Return a table's coffees in the order typed."""
        coffees = schema.coffees
        query = select(coffees).where(coffees.c.table_id == table_id).order_by(coffees.c.position)
        return tuple(rows.read_coffee(row) for row in self._all(query))

    def numbered_bowls(self, table_id: str) -> tuple[NumberedBowls, ...]:
        """Return what goes into which numbered bowls; nothing where they are not numbered."""
        numbered_bowls = schema.numbered_bowls
        query = (
            select(numbered_bowls)
            .where(numbered_bowls.c.table_id == table_id)
            .order_by(numbered_bowls.c.position)
        )
        return tuple(rows.read_numbered_bowls(row) for row in self._all(query))

    def invitation(self, table_id: str) -> str:
        """Return the token by which a device joins the table; NotThere when there is none."""
        query = select(schema.invitations).where(schema.invitations.c.table_id == table_id)
        row = self._first(query)
        if row is None:
            raise NotThere("There is no such table.", hint="Look at the list of tables.")
        token: str = row.token
        return token

    def invited(self, token: str) -> Table:
        """Return the table of an invitation; NotThere when there is none."""
        row = self._first(select(schema.invitations).where(schema.invitations.c.token == token))
        if row is None:
            raise NotThere(
                "This invitation is none of this lab's.", hint="Scan the code on the host's screen."
            )
        return self.table(row.table_id)

    def entries(self, table_id: str) -> tuple[KeptEntry, ...]:
        """Return everything the devices said, in the order of arrival."""
        entries = schema.entries
        query = select(entries).where(entries.c.table_id == table_id).order_by(entries.c.arrival)
        return tuple(rows.read_entry(row) for row in self._all(query))

    def version(self, table_id: str) -> tuple[int, ...]:
        """Return numbers of which one rises with whatever is added to a table."""
        return tuple(self._connection.execute(VERSION, {"table": table_id}).one())

    def glance(self, table_id: str, seat_id: str) -> Glance:
        """Return what has to be known of a seat for each thing that is said from it."""
        told = {"table": table_id, "seat": seat_id}
        closings, refusals, hand_ins, grip = self._connection.execute(GLANCE, told).one()
        return Glance(
            closed=bool(closings),
            has_refusals=bool(refusals),
            has_hand_ins=bool(hand_ins),
            grip=grip,
        )

    def last_arrival(self, table_id: str) -> int:
        """Return the arrival of the last entry at a table; 0 while there is none."""
        entries = schema.entries.c
        query = select(func.max(entries.arrival)).where(entries.table_id == table_id)
        return self._connection.scalar(query) or 0

    def hand_ins(self, seat_id: str) -> tuple[tuple[int, int], ...]:
        """Return (grip, no) of every hand-in of a seat that is not late."""
        rows_of = self._connection.execute(HAND_INS, {"seat": seat_id})
        return tuple((row.grip, row.no) for row in rows_of)

    def set_asides(self, table_id: str) -> tuple[SetAside, ...]:
        """Return what was set aside, in the order of arrival."""
        asides = schema.set_asides
        query = select(asides).where(asides.c.table_id == table_id).order_by(asides.c.arrival)
        return tuple(rows.read_record(SetAside, row) for row in self._all(query))

    def events(self, table_id: str) -> tuple[Event, ...]:
        """Return the host's acts by number."""
        acts = self._connection.execute(EVENTS, {"table": table_id})
        return tuple(rows.read_event(row) for row in acts)

    def joinings(self, table_id: str) -> tuple[Joining, ...]:
        """Return the devices that took seats, in order."""
        joinings = schema.joinings
        query = select(joinings).where(joinings.c.table_id == table_id).order_by(joinings.c.arrival)
        return tuple(rows.read_record(Joining, row) for row in self._all(query))

    def joining(self, secret_hash: str) -> Joining:
        """Return the device with this secret; NotYours when there is none."""
        joinings = schema.joinings
        row = self._first(select(joinings).where(joinings.c.secret_hash == secret_hash))
        if row is None:
            raise NotYours(
                "This phone has no seat here.", hint="Scan the code on the host's screen."
            )
        return rows.read_record(Joining, row)

    def verdict(self, table_id: str) -> Verdict | None:
        """Return the table's latest verdict, or None."""
        verdicts = schema.verdicts
        query = select(verdicts).where(verdicts.c.table_id == table_id)
        row = self._first(query.order_by(verdicts.c.arrival.desc()).limit(1))
        return rows.read_record(Verdict, row) if row else None

    def verdicts(self, table_id: str) -> tuple[Verdict, ...]:
        """Return the table's verdicts, the first first."""
        verdicts = schema.verdicts
        query = select(verdicts).where(verdicts.c.table_id == table_id).order_by(verdicts.c.arrival)
        return tuple(rows.read_record(Verdict, row) for row in self._all(query))

    def code(self, table_id: str) -> str:
        """Return the code that is typed to join the table now; empty when it never had one."""
        codes = schema.codes
        query = select(codes.c.code).where(codes.c.table_id == table_id)
        row = self._first(query.order_by(codes.c.arrival.desc()).limit(1))
        return row.code if row else ""

    def coded(self, code: str) -> str | None:
        """Return the id of the table whose code of now this is, or None."""
        codes = schema.codes
        query = select(codes.c.table_id).where(codes.c.code == code)
        found = self._all(query.order_by(codes.c.arrival.desc()))
        return next((row.table_id for row in found if self.code(row.table_id) == code), None)

    def passes(self, table_id: str) -> tuple[Pass, ...]:
        """Return the passes that were given out at a table, in order."""
        passes = schema.passes
        query = select(passes).where(passes.c.table_id == table_id).order_by(passes.c.arrival)
        return tuple(rows.read_record(Pass, row) for row in self._all(query))

    def passed(self, said: str) -> Pass | None:
        """Return the newest pass with this token or this code, or None."""
        passes = schema.passes
        query = select(passes).where((passes.c.token == said) | (passes.c.code == said))
        row = self._first(query.order_by(passes.c.arrival.desc()).limit(1))
        return rows.read_record(Pass, row) if row else None

    def helpers(self, table_id: str) -> tuple[Helper, ...]:
        """Return the helpers of a table, in order."""
        helpers = schema.helpers
        query = select(helpers).where(helpers.c.table_id == table_id).order_by(helpers.c.arrival)
        return tuple(rows.read_record(Helper, row) for row in self._all(query))

    def helper(self, secret_hash: str) -> Helper | None:
        """Return the helper with this secret, or None."""
        row = self._first(select(schema.helpers).where(schema.helpers.c.secret_hash == secret_hash))
        return rows.read_record(Helper, row) if row else None

    def taps(self, table_id: str) -> tuple[Tap, ...]:
        """Return what the helpers said, in the order of arrival."""
        taps = schema.taps
        query = select(taps).where(taps.c.table_id == table_id).order_by(taps.c.arrival)
        return tuple(rows.read_record(Tap, row) for row in self._all(query))

    def incarnation(self) -> str:
        """Return the name of this lab's life; empty before it has one."""
        lives = schema.incarnations
        row = self._first(select(lives.c.incarnation).order_by(lives.c.arrival.desc()).limit(1))
        return row.incarnation if row else ""

    def is_host_device(self, secret_hash: str) -> bool:
        """Return whether a browser with this secret was let in as the host's."""
        devices = schema.host_devices
        query = select(devices.c.arrival).where(devices.c.secret_hash == secret_hash)
        return self._first(query) is not None

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

    def _first(self, query: Select[Any]) -> Row[Any] | None:
        return self._connection.execute(query).first()
