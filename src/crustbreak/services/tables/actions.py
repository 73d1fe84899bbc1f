"""What the host does at a table, each act kept as an event."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from crustbreak.core.errors import NotNow, refuse
from crustbreak.domain.planning.plan_request import check_text
from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.entries import EventKind
from crustbreak.domain.tables.state import TableState
from crustbreak.domain.tables.transitions import FlightState
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import ReadAccess, WriteAccess
from crustbreak.services.tables.planned import table_of
from crustbreak.services.tables.state import demand, demand_state, snapshot_in

Tap = Literal["poured", "broken", "skimmed"]

REASON_LENGTH = 2000


def table_set(lab: Lab, table: Table) -> None:
    """Return in words that the bowls are filled and the card is put away."""
    _act(lab, table, "table set", hint="A table is set once, before the first pour.")


def pour_first(lab: Lab, table: Table) -> None:
    """Return in words that water goes onto the first bowl now."""
    _tap(lab, table, "poured")


def break_first(lab: Lab, table: Table) -> None:
    """Return in words that the first crust is broken now."""
    _tap(lab, table, "broken")


def all_skimmed(lab: Lab, table: Table) -> None:
    """Return in words that the last bowl is skimmed now."""
    _tap(lab, table, "skimmed")


def undo_tap(lab: Lab, table: Table, tap: Tap) -> None:
    """Take a tap back, if it is the last; it stays in the records, with its taking back.

    The tap is named, so that a second touch of the same key does not take back the one before.
    """
    _tap(lab, table, tap, undo=True)


def _tap(lab: Lab, table: Table, tap: Tap, *, undo: bool = False) -> None:
    def work(records: WriteAccess) -> None:
        touch(lab, records, table, Touch(tap=tap, undoes=undo, at=lab.clock.now()))

    lab.repository.write(work)
    lab.notifier.ring(table.id)


@dataclass(frozen=True, slots=True, kw_only=True)
class Touch:
    """A tap, or the taking back of one.

    at:  when it was made.
    by:  which helper made it; empty for the host.
    """

    tap: Tap
    undoes: bool
    at: datetime
    by: str = ""


def touch(lab: Lab, records: WriteAccess, table: Table, made: Touch) -> None:
    """Add a tap, or its taking back, to the acts of a table; NotNow when it does not fit."""
    state = snapshot_in(lab, records, table)
    (_demand_undo if made.undoes else _demand_tap)(state, made.tap)
    kind: EventKind = "undone" if made.undoes else made.tap
    records.add_event(table.id, kind, at=made.at, detail=made.by)


def _demand_tap(state: TableState, tap: Tap) -> None:
    if tap == "poured":
        demand(state, tap, hint="The first pour comes once, when the table is set.")
        return
    demand_state(state, FlightState.UNDER_WAY, hint="Tap the first pour before the first break.")
    if tap == "skimmed" and not state.broken_at:
        raise NotNow("No crust is broken yet.", hint="Tap the first break before the skimming.")
    if state.skimmed_at if tap == "skimmed" else state.broken_at:
        what = "All bowls are skimmed" if tap == "skimmed" else "The first crust is broken"
        raise NotNow(f"{what} already.", hint="Undo it if that was a mis-hit.")


def last_tap(state: TableState) -> Tap | None:
    """Return the tap that an undoing would take back, or None."""
    if state.skimmed_at:
        return "skimmed"
    if state.broken_at:
        return "broken"
    return "poured" if state.poured_at else None


def _demand_undo(state: TableState, tap: Tap) -> None:
    if last_tap(state) != tap:
        raise NotNow("There is no such tap to take back.", hint="Look at the table and go on.")
    demand_state(
        state,
        FlightState.UNDER_WAY,
        hint="A tap can be taken back until every taster has handed in.",
    )


def abandon(lab: Lab, table: Table, reason: str) -> None:
    """Return a table up; everything said at it is kept."""
    refuse("The reason", check_text("Why", reason.strip(), needed=False, length=REASON_LENGTH))
    _act(
        lab,
        table,
        "abandoned",
        detail=reason.strip() or "no reason given",
        hint="A table whose codes have names is decided, not abandoned.",
    )


def uncover(lab: Lab, table: Table) -> None:
    """Return the codes their names, after every hand-in and every call.

    Raises:  NotNow before that, and while the numbers under the bowls are not read.
    """
    if table.is_numbered and not lab.repository.read(lambda records: is_read(records, table)):
        raise NotNow("The numbers under the bowls are not read.", hint=WASH_FIRST)
    _act(lab, table, "uncovered", hint=WAIT)


def is_read(records: ReadAccess, table: Table) -> bool:
    """Return whether the numbers under the bowls of a table were read."""
    return any(act.kind == "bowls read" for act in records.events(table.id))


WASH_FIRST = "Read them place by place while washing up: they are the key of this table."
WAIT = (
    "Wait until every taster has handed in and called and nothing is on its way, or "
    "leave a seat out with a reason."
)


def _act(lab: Lab, table: Table, kind: EventKind, *, hint: str, detail: str = "") -> None:
    def work(records: WriteAccess) -> None:
        demand(snapshot_in(lab, records, table), kind, hint=hint)
        # What arrives after an act that closes the table is known by this.
        last = records.last_arrival(table.id)
        records.add_event(table.id, kind, at=lab.clock.now(), detail=detail, arrival=last)

    lab.repository.write(work)
    lab.notifier.ring(table.id)


def look_at(lab: Lab, table_id: str) -> tuple[Table, TableState]:
    """Return a table and how it stands."""

    def ask(records: ReadAccess) -> tuple[Table, TableState]:
        table = table_of(lab, records, table_id)
        return table, snapshot_in(lab, records, table)

    return lab.repository.read(ask)
