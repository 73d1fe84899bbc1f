"""What the host may see of a table, as it stands."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from crustbreak.domain.records.tables import Seat, Table
from crustbreak.domain.records.verdicts import Verdict
from crustbreak.domain.tables.clocks import cup_states
from crustbreak.domain.tables.entries import Event
from crustbreak.domain.tables.join_codes import JOINING_STATES, paper_code
from crustbreak.domain.tables.seats import SeatView
from crustbreak.domain.tables.state import TableState
from crustbreak.domain.tables.transitions import CupState, FlightState
from crustbreak.ports.lab import Lab
from crustbreak.ports.live_state import Check
from crustbreak.ports.repository import Helper, Joining, Pass, ReadAccess
from crustbreak.services.tables.passes import open_passes
from crustbreak.services.tables.seats import admissible
from crustbreak.services.tables.state import TableSnapshot, refused_grips, snapshot, snapshot_in

# After so long whatever was tapped has been done at every bowl.
A_TABLE_LATER = timedelta(hours=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviceLine:
    """One device of a seat, or one helper, as the host sees it.

    holds:      it is the one by which the seat goes on.
    refused:    the host said "not us".
    heard_at:   when it was last in contact, None where it was not since the lab was opened.
    check:      what it found when it tried itself out, or None.
    offset_ms:  the lab's clock minus its own, as it takes it to be.
    """

    grip: int
    joined_at: datetime
    holds: bool
    refused: bool
    heard_at: datetime | None
    check: Check | None
    offset_ms: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatLine:
    """One seat as the host sees it: how far it is, never what it said.

    kept:        how many entries of it are in the lab.
    admissible:  marks made before the hand-in that came after the uncovering.
    leave:       an open pass for another device, or None.
    """

    seat: Seat
    view: SeatView
    kept: int
    admissible: int
    devices: tuple[DeviceLine, ...]
    leave: Pass | None
    paper_code: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HostView:
    """A table as the host sees it.

    cups:        state of each bowl, in pouring order, place by place.
    set_aside:   how many things that devices sent cannot count.
    water:       a pour was tapped, even if it was taken back: the card stays closed.
    code:        what is typed to join, None once joining is over.
    replaced_at: when that code was last replaced after wrong guesses, or None.
    leave:       an open pass for a helper, or None.
    admissions:  acts by which late marks were let in.
    verdicts:    all that were given, the first first.
    now:         the moment for which this holds.
    """

    table: Table
    state: TableState
    cups: tuple[CupState, ...]
    seats: tuple[SeatLine, ...]
    helpers: tuple[DeviceLine, ...]
    invitation: str
    code: str | None
    replaced_at: datetime | None
    leave: Pass | None
    set_aside: int
    water: bool
    admissions: tuple[Event, ...]
    verdicts: tuple[Verdict, ...]
    now: datetime


def view_table(lab: Lab, table_id: str) -> HostView:
    """Return one table as the host sees it."""
    now = lab.clock.now()

    def ask(records: ReadAccess) -> HostView:
        table = records.table(table_id)
        found = snapshot(lab, records, table)
        state, acts = found.state, found.acts
        passes = {leave.seat_id: leave for leave in open_passes(lab, records, table)}
        joining = state.flight in JOINING_STATES
        replaced = [act.at for act in acts if act.kind == "code replaced"]
        return HostView(
            table=table,
            state=state,
            cups=cups_at(table, state, now=now),
            seats=tuple(_seat_lines(lab, records, table, found, passes)),
            helpers=tuple(_helper_line(lab, each) for each in records.helpers(table.id)),
            invitation=records.invitation(table.id),
            code=(records.code(table.id) or None) if joining else None,
            replaced_at=replaced[-1] if replaced else None,
            leave=passes.get(None),
            set_aside=len(records.set_asides(table.id)),
            water=any(act.kind == "poured" for act in acts),
            admissions=tuple(act for act in acts if act.kind == "admitted"),
            verdicts=records.verdicts(table.id),
            now=now,
        )

    return lab.repository.read(ask)


def _seat_lines(
    lab: Lab,
    records: ReadAccess,
    table: Table,
    found: TableSnapshot,
    passes: Mapping[str | None, Pass],
) -> Iterator[SeatLine]:
    kept = Counter(each.entry.seat_id for each in found.kept)
    joinings = records.joinings(table.id)
    for position, seat in enumerate(table.seats):
        view = found.state.seats[seat.id]
        refused = refused_grips(found.acts, seat.id)
        yield SeatLine(
            seat=seat,
            view=view,
            kept=kept[seat.id],
            admissible=len(admissible(lab, records, table, seat.id)),
            devices=tuple(
                _device_line(lab, each, holds=each.grip == view.grip, refused=each.grip in refused)
                for each in joinings
                if each.seat_id == seat.id
            ),
            leave=passes.get(seat.id),
            paper_code=paper_code(seat.id, position),
        )


def _device_line(lab: Lab, device: Joining | Helper, *, holds: bool, refused: bool) -> DeviceLine:
    known = device.secret_hash
    return DeviceLine(
        grip=device.grip,
        joined_at=device.joined_at,
        holds=holds,
        refused=refused,
        heard_at=lab.presence.last(known),
        check=lab.presence.checked(known),
        offset_ms=lab.presence.offset_ms(known),
    )


def _helper_line(lab: Lab, helper: Helper) -> DeviceLine:
    return _device_line(lab, helper, holds=True, refused=False)


def cups_at(table: Table, state: TableState, *, now: datetime) -> tuple[CupState, ...]:
    """Return what each bowl holds at a moment, in pouring order.

    A clock that was put back during the table pours nothing back: before the last tap there is no
    time, and what was tapped is taken to be done.
    """
    every = (state.poured_at, state.broken_at, state.skimmed_at)
    taps = [tapped for tapped in every if tapped]
    if taps and now < max(taps):
        now = max(taps) + A_TABLE_LATER
    return cup_states(table, state, now=now)


def list_tables(lab: Lab) -> tuple[tuple[Table, FlightState], ...]:
    """Return every table with where it stands, the newest first."""

    def ask(records: ReadAccess) -> tuple[tuple[Table, FlightState], ...]:
        events = records.events_by_table()
        return tuple(
            (table, _standing(lab, records, table, events.get(table.id, ())))
            for table in records.tables()
        )

    return lab.repository.read(ask)


def _standing(lab: Lab, records: ReadAccess, table: Table, acts: tuple[Event, ...]) -> FlightState:
    # The marks of a closed table need not be read to know that it is closed, and nearly all
    # tables of a year are.
    ends = {
        "decided": FlightState.DECIDED,
        "abandoned": FlightState.ABANDONED,
        "admitted": FlightState.UNCOVERED,
    }
    ended = [ends[act.kind] for act in acts if act.kind in ends]
    return ended[-1] if ended else snapshot_in(lab, records, table).flight
