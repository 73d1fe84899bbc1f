"""What the host may see of a table, as it stands."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from crustbreak.domain.records.coffees import Coffee
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
from crustbreak.ports.repository import Helper, Joining, Listed, Pass, ReadAccess
from crustbreak.services.tables.passes import open_passes
from crustbreak.services.tables.planned import coffees_of, table_of, tables_of
from crustbreak.services.tables.seats import admissible
from crustbreak.services.tables.state import TableSnapshot, refused_grips, snapshot, snapshots_of

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
class LiveView:
    """What is polled of a table while it runs.

    found:      how it stands, with all that was said and done.
    cups:       state of each bowl, in pouring order, place by place.
    set_aside:  how many things that devices sent cannot count.
    code:       what is typed to join, None once joining is over.
    now:        the moment for which this holds.
    """

    table: Table
    found: TableSnapshot
    cups: tuple[CupState, ...]
    seats: tuple[SeatLine, ...]
    helpers: tuple[DeviceLine, ...]
    code: str | None
    now: datetime

    @property
    def state(self) -> TableState:
        """How the table stands."""
        return self.found.state

    @property
    def set_aside(self) -> int:
        """How many things that devices sent cannot count."""
        return len(self.found.asides)


@dataclass(frozen=True, slots=True, kw_only=True)
class HostView(LiveView):
    """A table as the host sees it.

    leave:     an open pass for a helper, or None.
    verdicts:  all that were given, the first first.
    """

    invitation: str
    leave: Pass | None
    verdicts: tuple[Verdict, ...]

    @property
    def replaced_at(self) -> datetime | None:
        """When the code was last replaced after wrong guesses, or None."""
        replaced = [act.at for act in self.found.acts if act.kind == "code replaced"]
        return replaced[-1] if replaced else None

    @property
    def water(self) -> bool:
        """Whether a pour was tapped, even if it was taken back: the card stays closed."""
        return any(act.kind == "poured" for act in self.found.acts)

    @property
    def admissions(self) -> tuple[Event, ...]:
        """Acts by which late marks were let in."""
        return tuple(act for act in self.found.acts if act.kind == "admitted")


def view_live(lab: Lab, table_id: str) -> LiveView:
    """Return what is polled of one table, in a few statements."""

    def ask(records: ReadAccess) -> LiveView:
        table = table_of(lab, records, table_id)
        return LiveView(**_live(lab, records, table, {}))

    return lab.repository.read(ask)


def view_table(lab: Lab, table_id: str) -> HostView:
    """Return one table as the host sees it."""

    def ask(records: ReadAccess) -> HostView:
        table = table_of(lab, records, table_id)
        passes = {leave.seat_id: leave for leave in open_passes(lab, records, table)}
        return HostView(
            **_live(lab, records, table, passes),
            invitation=records.invitation(table.id),
            leave=passes.get(None),
            verdicts=records.verdicts(table.id),
        )

    return lab.repository.read(ask)


def _live(
    lab: Lab, records: ReadAccess, table: Table, passes: Mapping[str | None, Pass]
) -> dict[str, Any]:
    found, now = snapshot(lab, records, table), lab.clock.now()
    joining = found.state.flight in JOINING_STATES
    return {
        "table": table,
        "found": found,
        "cups": cups_at(table, found.state, now=now),
        "seats": tuple(_seat_lines(lab, table, found, passes)),
        "helpers": tuple(_helper_line(lab, each) for each in records.helpers(table.id)),
        "code": (records.code(table.id) or None) if joining else None,
        "now": now,
    }


def _seat_lines(
    lab: Lab, table: Table, found: TableSnapshot, passes: Mapping[str | None, Pass]
) -> Iterator[SeatLine]:
    kept = Counter(each.entry.seat_id for each in found.kept)
    for position, seat in enumerate(table.seats):
        view = found.state.seats[seat.id]
        refused = refused_grips(found.acts, seat.id)
        yield SeatLine(
            seat=seat,
            view=view,
            kept=kept[seat.id],
            admissible=len(admissible(found, seat.id)),
            devices=tuple(
                _device_line(lab, each, holds=each.grip == view.grip, refused=each.grip in refused)
                for each in found.joinings
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


# So many ended tables are on a page; the rest is on the next.
ENDED_A_PAGE = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Today:
    """What is owed, and the newest of what is done.

    owed:     every table at which something is, with where it stands.
    done:     the newest that were decided or given up, from wherever the page begins.
    ended:    these as they are listed.
    older:    the last of these, where there are more after it; else empty.
    flights:  of the screenings of which a flight is among them, with where each stands.
    last:     question to the newest table of it that was not given up.
    """

    owed: tuple[tuple[Table, FlightState], ...]
    done: tuple[tuple[Table, FlightState], ...]
    ended: tuple[Listed, ...]
    older: str
    flights: tuple[tuple[Table, FlightState], ...]
    last: Mapping[str, Table]


def list_today(lab: Lab, *, before: str = "") -> Today:
    """Return what is owed, and a page of what is done.

    Args:  before: the page begins after this table; empty for the first.
    """

    def ask(records: ReadAccess) -> Today:
        owed = () if before else records.open_tables()
        ended = records.ended_tables(limit=ENDED_A_PAGE + 1, before=before)
        done = ended[:ENDED_A_PAGE]
        ratings = {each.screening for each in (*owed, *done) if each.screening}
        newest = {each: records.newest_table(each) for each in (() if before else lab.plugins)}
        last = {question: each.id for question, each in newest.items() if each}
        named = tables_of(lab, records, tuple(last.values()))
        return Today(
            owed=_with_states(lab, records, owed),
            done=_with_states(lab, records, done),
            ended=done,
            older=done[-1].id if len(ended) > len(done) else "",
            flights=_with_states(lab, records, records.flights(ratings)),
            last={question: named[table_id] for question, table_id in last.items()},
        )

    return lab.repository.read(ask)


def last_planned(lab: Lab) -> tuple[tuple[Table, ...], tuple[Coffee, ...]]:
    """Return the newest table, where there is one, and its coffees."""

    def ask(records: ReadAccess) -> tuple[tuple[Table, ...], tuple[Coffee, ...]]:
        newest = records.newest_table()
        if newest is None:
            return (), ()
        return (table_of(lab, records, newest.id),), coffees_of(lab, records, newest.id)

    return lab.repository.read(ask)


def list_tables(lab: Lab) -> tuple[tuple[Table, FlightState], ...]:
    """Return every table with where it stands, the newest first."""

    def ask(records: ReadAccess) -> tuple[tuple[Table, FlightState], ...]:
        every = sorted((*records.open_tables(), *records.ended_tables()), key=lambda each: each.id)
        every.sort(key=lambda each: each.planned_at, reverse=True)
        return _with_states(lab, records, every)

    return lab.repository.read(ask)


def list_flights(lab: Lab, look_id: str) -> tuple[tuple[Table, FlightState], ...]:
    """Return the flights of a screening with where each stands, in their order."""

    def ask(records: ReadAccess) -> tuple[tuple[Table, FlightState], ...]:
        return _with_states(lab, records, records.flights((look_id,)))

    return tuple(sorted(lab.repository.read(ask), key=_flight_number))


def _flight_number(flight: tuple[Table, FlightState]) -> int:
    screening = flight[0].screening
    return screening.nth if screening else 0


def _with_states(
    lab: Lab, records: ReadAccess, listed: Sequence[Listed]
) -> tuple[tuple[Table, FlightState], ...]:
    tables = tables_of(lab, records, [each.id for each in listed])
    # The marks of a closed table need not be read to know that it is closed, and nearly all
    # tables of a year are.
    open_ = {each.id: each.version for each in listed if not each.ended}
    found = snapshots_of(lab, records, open_, tables)
    return tuple(
        (tables[each.id], FlightState(each.ended) if each.ended else found[each.id].state.flight)
        for each in listed
    )
