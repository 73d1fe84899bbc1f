"""Passes of a table by which one more device may still come in."""

from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.join_codes import is_pass_open
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import Pass, ReadAccess


def open_passes(lab: Lab, records: ReadAccess, table: Table) -> tuple[Pass, ...]:
    """List the passes of a table that still open, the newest of each seat."""
    newest: dict[str | None, Pass] = {}
    for leave in records.passes(table.id):
        newest[leave.seat_id] = leave
    return tuple(leave for leave in newest.values() if is_open(lab, records, leave))


def is_open(lab: Lab, records: ReadAccess, leave: Pass) -> bool:
    """Return whether a pass still opens: in time, not used, and codes not replaced since."""
    replaced = any(
        event.kind == "code replaced" and event.at >= leave.made_at
        for event in records.events(leave.table_id)
    )
    in_time = is_pass_open(leave.made_at, lab.clock.now())
    return in_time and not replaced and not is_used(records, leave)


def is_used(records: ReadAccess, leave: Pass) -> bool:
    """Return whether a device came in by this pass."""
    came = [each.token for each in records.joinings(leave.table_id)]
    came += [each.token for each in records.helpers(leave.table_id)]
    return leave.token in came
