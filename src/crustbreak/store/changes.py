"""What can be added to the records, on the writer's connection."""

from datetime import datetime
from functools import cache
from typing import Any, TypeVar

from sqlalchemy import Insert, and_, func, insert, or_, select, update
from sqlalchemy import Table as SqlTable
from sqlalchemy.exc import IntegrityError

from crustbreak.core.units import utc_moment, utc_text
from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.numbered_bowls import NumberedBowls
from crustbreak.domain.records.tables import Table
from crustbreak.domain.records.verdicts import Verdict
from crustbreak.domain.tables.entries import Event, EventKind
from crustbreak.ports.documents import DocumentKind
from crustbreak.ports.repository import Helper, Joining, KeptEntry, Pass, SetAside, Tap
from crustbreak.store import rows, schema
from crustbreak.store.errors import Clash
from crustbreak.store.queries import Queries

T = TypeVar("T")


class Changes(Queries):
    """`ports.repository.Writing` on a connection; what it adds is kept with the transaction."""

    is_writing = True

    def add_table(
        self,
        table: Table,
        coffees: tuple[Coffee, ...],
        *,
        token: str,
        numbered_bowls: tuple[NumberedBowls, ...] = (),
    ) -> None:
        """Add a planned table, its coffees, its invitation and, of numbered bowls, its trays."""
        self._add(schema.tables, rows.table_row(table))
        self._add(schema.table_states, rows.state_row(table))
        self._add(schema.flights, *rows.flight_rows(table))
        self._add(schema.places, *rows.place_rows(table))
        self._add(schema.seats, *rows.seat_rows(table))
        self._add(schema.coffees, *rows.coffee_rows(table.id, coffees))
        self._add(schema.numbered_bowls, *rows.numbered_bowls_rows(table.id, numbered_bowls))
        self._add(schema.invitations, {"table_id": table.id, "token": token})

    def add_event(self, table_id: str, kind: EventKind, *, at: datetime, **about: Any) -> Event:
        """Add an act, numbered after the last; give it as it will be read."""
        last = select(func.max(schema.events.c.number)).where(schema.events.c.table_id == table_id)
        event = Event(
            table_id=table_id,
            number=(self._connection.scalar(last) or 0) + 1,
            kind=kind,
            at=utc_moment(utc_text(at)),
            **about,
        )
        self._add(schema.events, rows.event_row(event))
        self._state(event)
        return event

    def _state(self, event: Event) -> None:
        """Keep what an act changes for the lists."""
        states = schema.table_states
        mine = update(states).where(states.c.table_id == event.table_id)
        if event.kind in rows.ENDED:
            self._connection.execute(mine.values(ended=rows.ENDED[event.kind]))
        elif event.kind == "uncovered":
            first = mine.where(states.c.uncovered_at.is_(None))
            self._connection.execute(first.values(uncovered_at=event.at))

    def add_entry(self, kept: KeptEntry) -> KeptEntry | None:
        """Add an entry, or give the one that has its id or else its (seat, grip, no) already.

        Raises:  Clash when its seat is not there.
        """
        # Hardly one was sent before, so what is there is asked for only when the row is refused.
        try:
            self._add(schema.entries, rows.entry_row(kept))
        except Clash:
            there = self._twin(kept)
            if there is None:
                raise
            return there
        return None

    def _twin(self, kept: KeptEntry) -> KeptEntry | None:
        entry, entries = kept.entry, schema.entries.c
        same_number = and_(
            entries.seat_id == entry.seat_id,
            entries.grip == entry.grip,
            entries.no == entry.no,
        )
        query = select(schema.entries).where(or_(entries.entry_id == entry.id, same_number))
        found = [rows.read_entry(row) for row in self._all(query)]
        same_id = [each for each in found if each.entry.id == entry.id]
        return next(iter(same_id or found), None)

    def add_set_aside(self, sent: SetAside) -> None:
        """Add what cannot count; the same body from the same seat is there once."""
        asides = schema.set_asides.c
        there = select(asides.arrival).where(
            asides.seat_id == sent.seat_id, asides.digest == sent.digest
        )
        # Nobody else writes in between.
        if self._first(there) is None:
            self._add(schema.set_asides, rows.record_row(sent))

    def add_joining(self, joining: Joining) -> None:
        """Add a device that takes a seat; Clash when the seat has a device of that number."""
        self._add(schema.joinings, rows.record_row(joining))

    def add_verdict(self, verdict: Verdict) -> None:
        """Add a verdict; an earlier one stays."""
        self._add(schema.verdicts, rows.record_row(verdict))

    def add_code(self, table_id: str, code: str, *, at: datetime) -> None:
        """Add a code for the table; the one before no longer opens."""
        self._add(schema.codes, {"table_id": table_id, "code": code, "made_at": at})

    def add_pass(self, leave: Pass) -> None:
        """Add a pass."""
        self._add(schema.passes, rows.record_row(leave))

    def add_helper(self, helper: Helper) -> None:
        """Add a helper at a table; Clash when there is one of that number."""
        self._add(schema.helpers, rows.record_row(helper))

    def add_tap(self, tap: Tap) -> None:
        """Add what a helper said; Clash when its id or its (table, grip, no) is there."""
        self._add(schema.taps, rows.record_row(tap))

    def add_incarnation(self, incarnation: str, *, at: datetime, reason: str) -> None:
        """Begin a new life of this lab."""
        life = {"incarnation": incarnation, "since": at, "reason": reason}
        self._add(schema.incarnations, life)

    def add_host_device(self, secret_hash: str, *, at: datetime) -> None:
        """Let a browser in as the host's."""
        self._add(schema.host_devices, {"secret_hash": secret_hash, "since": at})

    def add_document(
        self, kind: DocumentKind[T], document: T, of: str = "", *, at: datetime
    ) -> None:
        """Add a document of a kind; an earlier one stays."""
        row = {"subject": kind.subject, "id": of, "since": at, "data": kind.write(document)}
        self._add(schema.documents, row)

    def _add(self, table: SqlTable, *added: dict[str, Any]) -> None:
        if not added:
            return
        try:
            self._connection.execute(_insert(table), list(added))
        except IntegrityError as error:
            raise Clash(
                f"The books do not take this into {table.name.replace('_', ' ')}: {error.orig}.",
                hint="Load the page again: it is there already, or what it belongs to is not.",
            ) from error


# The statement keeps what the library found out about it; made anew it costs a third more.
@cache
def _insert(table: SqlTable) -> Insert:
    return insert(table)
