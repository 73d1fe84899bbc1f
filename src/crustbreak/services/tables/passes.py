"""Passes of a table by which one more device may still come in."""

from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.entries import Event
from crustbreak.domain.tables.join_codes import is_pass_open
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import Pass, ReadAccess


def open_passes(lab: Lab, records: ReadAccess, table: Table) -> tuple[Pass, ...]:
    """List the passes of a table that still open, the newest of each seat."""
    newest = {leave.seat_id: leave for leave in records.passes(table.id)}
    now = lab.clock.now()
    in_time = [leave for leave in newest.values() if is_pass_open(leave.made_at, now)]
    # Most tables never needed one, and none opens for long: the rest is asked for only then.
    if not in_time:
        return ()
    acts, came = records.events(table.id), _came(records, table.id)
    return tuple(
        leave for leave in in_time if not _is_replaced(leave, acts) and leave.token not in came
    )


def is_open(lab: Lab, records: ReadAccess, leave: Pass) -> bool:
    """Return whether a pass still opens: in time, not used, and codes not replaced since."""
    in_time = is_pass_open(leave.made_at, lab.clock.now())
    replaced = _is_replaced(leave, records.events(leave.table_id))
    return in_time and not replaced and not is_used(records, leave)


def _is_replaced(leave: Pass, acts: tuple[Event, ...]) -> bool:
    return any(act.kind == "code replaced" and act.at >= leave.made_at for act in acts)


def is_used(records: ReadAccess, leave: Pass) -> bool:
    """Return whether a device came in by this pass."""
    return leave.token in _came(records, leave.table_id)


def _came(records: ReadAccess, table_id: str) -> set[str | None]:
    """Return by which tokens devices came to a table."""
    joinings, helpers = records.joinings(table_id), records.helpers(table_id)
    return {*(each.token for each in joinings), *(each.token for each in helpers)}
