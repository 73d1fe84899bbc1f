"""What a device at a seat may know of its table."""

from dataclasses import dataclass
from datetime import datetime

from crustbreak.domain.tables.entries import Entry
from crustbreak.domain.tables.join_codes import paper_code
from crustbreak.domain.tables.seats import SeatView
from crustbreak.domain.tables.state import TableState, subjects_of_seat
from crustbreak.domain.tables.transitions import CupState
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import ReadAccess
from crustbreak.services.devices.join import Seated
from crustbreak.services.tables.state import snapshot, subjects_of
from crustbreak.services.tables.views import cups_at


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatSide:
    """A table as one seat sees it: nothing of the others, no coffee's name.

    late:        ids of entries that are kept and out of the evidence.
    holds:       this device is the one by which the seat goes on.
    decided_at:  of the first verdict, or None.
    """

    seated: Seated
    state: TableState
    view: SeatView
    subjects: tuple[str | None, ...]
    entries: tuple[Entry, ...]
    late: frozenset[str]
    cups: tuple[CupState, ...]
    holds: bool
    paper_code: str
    decided_at: datetime | None
    now: datetime


def view_seat(lab: Lab, seated: Seated) -> SeatSide:
    """Return what a device at this seat may know."""
    now = lab.clock.now()
    table = seated.table

    def ask(records: ReadAccess) -> SeatSide:
        found = snapshot(lab, records, table)
        state, acts = found.state, found.acts
        return SeatSide(
            seated=seated,
            state=state,
            view=state.seats[seated.seat.id],
            subjects=subjects_of_seat(table, seated.seat, subjects_of(lab, table)),
            entries=tuple(
                each.entry for each in found.kept if each.entry.seat_id == seated.seat.id
            ),
            late=found.late,
            cups=cups_at(table, state, now=now),
            holds=state.seats[seated.seat.id].grip == seated.grip,
            paper_code=paper_code(seated.seat.id, table.seats.index(seated.seat)),
            decided_at=next((act.at for act in acts if act.kind == "decided"), None),
            now=now,
        )

    return lab.repository.read(ask)
