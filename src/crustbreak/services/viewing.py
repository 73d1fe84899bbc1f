"""What the host and each seat may see of a table, as it stands."""

from dataclasses import dataclass
from datetime import datetime

from crustbreak.analysis.frames import Frame, frame_table
from crustbreak.domain.records.tables import Seat, Table
from crustbreak.domain.table.blinding import Role, may_see_totals
from crustbreak.domain.table.entries import Entry, Event
from crustbreak.domain.table.fold import SeatView, TableState, cup_state
from crustbreak.domain.table.states import CupState, FlightState
from crustbreak.footing.errors import NotYours
from crustbreak.ports.books import Reading
from crustbreak.ports.lab import Lab
from crustbreak.services.joining import Seated
from crustbreak.services.keys import open_key
from crustbreak.services.standing import stand, subjects_of


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatLine:
    """One seat as the host sees it: how far it is, never what it said.

    joined:  a device has taken it.
    marks:   how many judgements of it are in the lab.
    """

    seat: Seat
    joined: bool
    marks: int
    view: SeatView


@dataclass(frozen=True, slots=True, kw_only=True)
class HostView:
    """A table as the host sees it.

    cups:        what each bowl holds, in pouring order.
    invitation:  token for the join address.
    set_aside:   how many entries were stored and do not count.
    water:       a pour was tapped, even if it was taken back: the card stays closed.
    now:         the moment for which this holds.
    """

    table: Table
    state: TableState
    cups: tuple[CupState, ...]
    seats: tuple[SeatLine, ...]
    invitation: str
    set_aside: int
    water: bool
    now: datetime


def view_table(lab: Lab, table_id: str) -> HostView:
    """Give one table as the host sees it."""
    now = lab.clock.now()

    def ask(books: Reading) -> HostView:
        table = books.table(table_id)
        state = stand(lab, books, table)
        joined = {joining.seat_id for joining in books.joinings(table.id)}
        return HostView(
            table=table,
            state=state,
            cups=cups_at(table, state, now=now),
            seats=tuple(
                SeatLine(
                    seat=seat,
                    joined=seat.id in joined,
                    marks=len(state.seats[seat.id].marks),
                    view=state.seats[seat.id],
                )
                for seat in table.seats
            ),
            invitation=books.invitation(table.id),
            set_aside=len(books.set_asides(table.id)),
            water=any(event.kind == "poured" for event in books.events(table.id)),
            now=now,
        )

    return lab.books.read(ask)


def cups_at(table: Table, state: TableState, *, now: datetime) -> tuple[CupState, ...]:
    """Give what each bowl holds at a moment, in pouring order."""
    return tuple(cup_state(table, state, nth=nth, now=now) for nth in range(len(table.cups)))


def list_tables(lab: Lab) -> tuple[tuple[Table, FlightState], ...]:
    """Give every table with where it stands, the newest first."""

    def ask(books: Reading) -> tuple[tuple[Table, FlightState], ...]:
        events = books.events_by_table()
        return tuple(
            (table, _standing(lab, books, table, events.get(table.id, ())))
            for table in books.tables()
        )

    return lab.books.read(ask)


def _standing(lab: Lab, books: Reading, table: Table, acts: tuple[Event, ...]) -> FlightState:
    # The marks of a closed table need not be read to know that it is closed, and nearly all
    # tables of a year are.
    closed = {"decided": FlightState.DECIDED, "abandoned": FlightState.ABANDONED}
    ended = [closed[act.kind] for act in acts if act.kind in closed]
    return ended[-1] if ended else stand(lab, books, table).flight


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatSide:
    """A table as one seat sees it: nothing of the others, no coffee's name.

    late:  ids of entries that are kept and out of the evidence.
    """

    seated: Seated
    state: TableState
    view: SeatView
    subjects: tuple[str | None, ...]
    entries: tuple[Entry, ...]
    late: frozenset[str]
    cups: tuple[CupState, ...]
    now: datetime


def view_seat(lab: Lab, seated: Seated) -> SeatSide:
    """Give what a device at this seat may know."""
    now = lab.clock.now()

    def ask(books: Reading) -> SeatSide:
        state = stand(lab, books, seated.table)
        kept = books.entries(seated.table.id)
        return SeatSide(
            seated=seated,
            state=state,
            view=state.seats[seated.seat.id],
            subjects=subjects_of(lab, seated.table),
            entries=tuple(each.entry for each in kept if each.entry.seat_id == seated.seat.id),
            late=frozenset(each.entry.id for each in kept if each.late),
            cups=cups_at(seated.table, state, now=now),
            now=now,
        )

    return lab.books.read(ask)


def frame_of(lab: Lab, table: Table) -> Frame:
    """Give the table's looks with their coffees; NotYours while codes are sealed."""
    key = open_key(lab, table, Role.HOST)

    def ask(books: Reading) -> Frame:
        state = stand(lab, books, table)
        if not may_see_totals(state.flight):
            raise NotYours("No totals while codes are sealed.", hint="Uncover the table first.")
        return frame_table(
            table, state, lab.sheet(table.sheet), key=key, coffees=books.coffees(table.id)
        )

    return lab.books.read(ask)
