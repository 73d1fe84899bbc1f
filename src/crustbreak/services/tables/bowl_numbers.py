"""The numbers under the bowls, typed while reading of the bowl numbers.

The only key that such a table has.
"""

from collections.abc import Sequence

from crustbreak.core.errors import NotNow, refuse
from crustbreak.domain.planning.plan_request import check_text
from crustbreak.domain.records.numbered_bowls import BowlReading
from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.bowl_numbers import check_readings
from crustbreak.domain.tables.transitions import FlightState
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import ReadAccess, WriteAccess
from crustbreak.services.tables.actions import REASON_LENGTH
from crustbreak.services.tables.state import demand, snapshot_in

AFTER_CALLS = "The numbers are read after every taster has handed in and called."


def read_bowls(
    lab: Lab, table: Table, readings: Sequence[BowlReading], *, reason: str = ""
) -> None:
    """Keep what was read under the bowls; each reading is kept, and the last one counts.

    Args:    reason: why it is read once more, once the codes have their names.
    Raises:  Unacceptable with every fault; NotNow before the calls, or at a table without
             numbered bowls.
    """
    if not table.is_numbered:
        raise NotNow("The bowls of this table have no numbers.", hint="Uncover it.")

    def work(records: WriteAccess) -> None:
        state = snapshot_in(lab, records, table)
        demand(state, "bowls read", hint=AFTER_CALLS)
        refuse(
            "The reading",
            check_readings(table.blind, records.numbered_bowls(table.id), readings),
        )
        said = reason.strip()
        if state.flight != FlightState.CALLED:
            refuse("The reason", check_text("Why", said, needed=True, length=REASON_LENGTH))
        records.add_event(
            table.id, "bowls read", at=lab.clock.now(), detail=said, readings=tuple(readings)
        )

    lab.repository.write(work)
    lab.notifier.ring(table.id)


def last_reading(lab: Lab, table: Table) -> tuple[BowlReading, ...] | None:
    """Return what was read last, as it was typed; None before."""

    def ask(records: ReadAccess) -> tuple[BowlReading, ...] | None:
        read = [act.readings for act in records.events(table.id) if act.kind == "bowls read"]
        return read[-1] if read else None

    return lab.repository.read(ask)
