"""What somebody at the table notes of a single bowl, because it differs."""

from dataclasses import dataclass
from datetime import datetime

from crustbreak.core.errors import refuse
from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.bowl_facts import FACT_KINDS, UNDONE, check_fact
from crustbreak.domain.tables.entries import EventKind
from crustbreak.domain.tables.state import SETTLED_STATES
from crustbreak.domain.tables.transitions import FlightState
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import WriteAccess
from crustbreak.services.tables.state import demand_state, snapshot_in

OPEN_STATES = tuple(state for state in FlightState if state not in SETTLED_STATES)


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """A fact of a bowl, or the taking back of one.

    kind:    one of `FACT_KINDS`, or `bowl undone`.
    figure:  what was weighed, g, or measured, degrees C.
    name:    of the fact that is taken back.
    """

    kind: str
    place_id: str | None
    cup: int | None
    figure: float | None = None
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Noter:
    """Who notes, and when: the host, or a helper with its grip and running number."""

    at: datetime
    grip: int | None = None
    no: int | None = None


def note_bowl(lab: Lab, table: Table, note: Note) -> None:
    """Note something of a bowl, or take it back, as the host.

    Raises:  Unacceptable for a bowl or a figure that cannot be; NotNow once codes have names.
    """

    def work(records: WriteAccess) -> None:
        bowls = snapshot_in(lab, records, table).bowls
        if note.kind in bowls.of((note.place_id or "", note.cup or 0)):
            # A second touch of the same key says nothing new.
            return
        keep_note(lab, records, table, note, by=Noter(at=lab.clock.now()))

    lab.repository.write(work)
    lab.notifier.ring(table.id)


def keep_note(lab: Lab, records: WriteAccess, table: Table, note: Note, *, by: Noter) -> None:
    """Add a note to the acts of a table; whether it fits to others is seen in the fold."""
    if note.kind == UNDONE:
        kind: EventKind = UNDONE
    else:
        refuse(
            "The bowl",
            check_fact(table, note.kind, place_id=note.place_id, cup=note.cup, figure=note.figure),
        )
        kind = next(each for each in FACT_KINDS if each == note.kind)
    demand_state(
        snapshot_in(lab, records, table),
        *OPEN_STATES,
        hint="Bowls are noted until the codes have their names.",
    )
    records.add_event(
        table.id,
        kind,
        at=by.at,
        detail=note.name if kind == UNDONE else "",
        place_id=note.place_id,
        cup=note.cup,
        figure=note.figure,
        grip=by.grip,
        no=by.no,
    )
