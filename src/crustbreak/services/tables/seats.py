"""What the host does about a seat: leave it out, or say that a device is not one of ours."""

from collections.abc import Callable

from crustbreak.core.errors import NotNow, NotThere, Problem, refuse
from crustbreak.domain.planning.plan_request import check_text
from crustbreak.domain.records.tables import Seat, Table
from crustbreak.domain.tables.entries import EventKind
from crustbreak.domain.tables.state import SETTLED_STATES, TableState
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import KeptEntry, ReadAccess, WriteAccess
from crustbreak.services.tables.actions import REASON_LENGTH
from crustbreak.services.tables.state import (
    TableSnapshot,
    admitted_upto,
    demand,
    refused_grips,
    snapshot,
    snapshot_in,
)


def leave_out(lab: Lab, table: Table, seat_id: str, reason: str) -> None:
    """Go on without a seat, for a reason that the memo prints; its marks are kept.

    Raises:  Unacceptable without a reason; NotNow for the last seat, or once uncovered.
    """
    seat = _seat(table, seat_id)
    refuse("The reason", _check_reason(f"Why without {seat.taster}", reason))

    def work(records: WriteAccess) -> None:
        state = _open(lab, records, table)
        others = [view for each, view in state.seats.items() if each != seat_id]
        if all(view.left_out is not None for view in others):
            raise NotNow(
                f"{seat.taster} is the last at this table.",
                hint="Give the table up instead: all marks are kept.",
            )
        if state.seats[seat_id].left_out is not None:
            raise NotNow(f"{seat.taster} is left out already.", hint="Go on with the others.")
        records.add_event(
            table.id, "left out", at=lab.clock.now(), seat_id=seat_id, detail=reason.strip()
        )

    _do(lab, table, work)


def bring_back(lab: Lab, table: Table, seat_id: str) -> None:
    """Count a seat again that was left out."""
    seat = _seat(table, seat_id)

    def work(records: WriteAccess) -> None:
        if _open(lab, records, table).seats[seat_id].left_out is None:
            raise NotNow(f"{seat.taster} is not left out.", hint="Go on.")
        records.add_event(table.id, "brought back", at=lab.clock.now(), seat_id=seat_id)

    _do(lab, table, work)


def refuse_device(lab: Lab, table: Table, seat_id: str, grip: int) -> None:
    """Return of a device "not us": it is told nothing more, and what it said does not count."""
    _about_device(lab, table, seat_id, grip, kind="device refused")


def let_device_back(lab: Lab, table: Table, seat_id: str, grip: int) -> None:
    """Take "not us" back: what the device said counts again."""
    _about_device(lab, table, seat_id, grip, kind="device let back")


def _about_device(lab: Lab, table: Table, seat_id: str, grip: int, *, kind: EventKind) -> None:
    _seat(table, seat_id)
    refuses = kind == "device refused"

    def work(records: WriteAccess) -> None:
        _open(lab, records, table)
        here = {each.grip for each in records.joinings(table.id) if each.seat_id == seat_id}
        if grip not in here:
            raise NotThere("No such phone took this seat.", hint="Go back to the table.")
        if (grip in refused_grips(records.events(table.id), seat_id)) == refuses:
            raise NotNow("That was said already.", hint="Look at the table and go on.")
        records.add_event(table.id, kind, at=lab.clock.now(), seat_id=seat_id, grip=grip)

    _do(lab, table, work)


def admissible(found: TableSnapshot, seat_id: str) -> list[KeptEntry]:
    """List what came after the table was closed, was made before the hand-in, and is not let in.

    Nothing of a seat that was left out, or that never handed in.
    """
    refused = refused_grips(found.acts, seat_id)
    mine = [each for each in found.kept if each.entry.seat_id == seat_id]
    hand_ins = [
        each.entry.order
        for each in mine
        if each.entry.kind == "hand_in" and not each.late and each.entry.grip not in refused
    ]
    if found.state.seats[seat_id].left_out is not None or not hand_ins:
        return []
    upto = admitted_upto(found.acts).get(seat_id, 0)
    return [
        each
        for each in mine
        if each.late
        and each.entry.kind == "mark"
        and each.arrival > upto
        and each.entry.order < min(hand_ins)
        and each.entry.grip not in refused
    ]


def admit_late(lab: Lab, table: Table, seat_id: str, reason: str) -> None:
    """Let marks in that came after the uncovering and were made before the hand-in.

    They make new evidence, which waits for a verdict of its own; an earlier verdict stays as it
    was kept.

    Raises:  Unacceptable without a reason; NotNow when there is nothing to let in.
    """
    seat = _seat(table, seat_id)
    refuse("The reason", _check_reason(f"Why let in marks of {seat.taster}", reason))

    def work(records: WriteAccess) -> None:
        found = snapshot(lab, records, table)
        demand(found.state, "admitted", hint="Marks come in by themselves until the uncovering.")
        late = admissible(found, seat_id)
        if not late:
            raise NotNow(f"Nothing of {seat.taster} waits to be let in.", hint="Go on.")
        records.add_event(
            table.id,
            "admitted",
            at=lab.clock.now(),
            seat_id=seat_id,
            detail=reason.strip(),
            arrival=max(each.arrival for each in late),
        )

    _do(lab, table, work)


def _do(lab: Lab, table: Table, work: Callable[[WriteAccess], None]) -> None:
    lab.repository.write(work)
    lab.notifier.ring(table.id)


def _open(lab: Lab, records: ReadAccess, table: Table) -> TableState:
    state = snapshot_in(lab, records, table)
    if state.flight in SETTLED_STATES:
        raise NotNow(
            f"The table is {state.flight}.", hint="Who counted was settled at the uncovering."
        )
    return state


def _seat(table: Table, seat_id: str) -> Seat:
    seat = table.seat(seat_id)
    if seat is None:
        raise NotThere("There is no such seat at this table.", hint="Go back to the table.")
    return seat


def _check_reason(where: str, reason: str) -> tuple[Problem, ...]:
    return check_text(where, " ".join(reason.split()), needed=True, length=REASON_LENGTH)
