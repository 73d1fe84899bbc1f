"""How a table stands: the records folded, for every service that asks."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from crustbreak.core.errors import NotNow
from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.entries import Entry, Event
from crustbreak.domain.tables.seats import Number, SeatFacts
from crustbreak.domain.tables.state import TableState, call_subjects, table_state
from crustbreak.domain.tables.transitions import CLOSING_ACTS, FlightState, may_follow
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import Joining, KeptEntry, ReadAccess, SetAside, TableRecords


@dataclass(frozen=True, slots=True, kw_only=True)
class TableSnapshot:
    """A table as the records hold it.

    late:      ids of marks that are kept and out of the evidence.
    asides:    what was set aside.
    joinings:  devices that took seats, in order.
    """

    state: TableState
    kept: tuple[KeptEntry, ...]
    acts: tuple[Event, ...]
    late: frozenset[str]
    asides: tuple[SetAside, ...]
    joinings: tuple[Joining, ...]


def snapshot_in(lab: Lab, records: ReadAccess, table: Table) -> TableState:
    """Fold what the records hold of a table."""
    return snapshot(lab, records, table).state


def snapshot(lab: Lab, records: ReadAccess, table: Table) -> TableSnapshot:
    """Return a table as it stands, worked out once for all who ask while nothing is added."""
    return snapshots_of(lab, records, {table.id: records.version(table.id)}, {table.id: table})[
        table.id
    ]


def snapshots_of(
    lab: Lab,
    records: ReadAccess,
    versions: Mapping[str, tuple[int, ...]],
    tables: Mapping[str, Table],
) -> dict[str, TableSnapshot]:
    """Return tables as they stand; what is not known yet is read in as many statements as of one.

    Args:  versions: of the tables that are asked for.
    """
    about = {each: f"standing {each}" for each in versions}
    known = {each: lab.cache.recall(about[each], versions[each]) for each in versions}
    missing = [each for each, found in known.items() if found is None]
    found = records.table_records(missing) if missing else {}
    for each in missing:
        known[each] = work_out(lab, tables[each], found[each])
        # What a piece of work has added may still be undone, and its numbers given again.
        if not records.is_writing:
            lab.cache.remember(about[each], versions[each], known[each])
    return known


def work_out(lab: Lab, table: Table, records: TableRecords) -> TableSnapshot:
    """Fold all that was said and done at a table."""
    kept, acts = records.entries, records.events
    state = table_state(
        table,
        counted(kept, acts),
        acts,
        subjects=subjects_of(lab, table),
        facts=_facts(table, records),
    )
    return TableSnapshot(
        state=state,
        kept=kept,
        acts=acts,
        late=out_of_evidence(kept, acts, state),
        asides=records.set_asides,
        joinings=records.joinings,
    )


def counted(kept: Iterable[KeptEntry], events: Iterable[Event]) -> list[Entry]:
    """Return the entries that came before the table was closed, or that were let in since.

    An older device's hand-in that came after the seat was taken over is not among them.
    """
    acts = tuple(events)
    closing = next((act for act in acts if act.kind in CLOSING_ACTS), None)
    shown = next((act for act in acts if act.kind == "double shown"), None)
    upto = admitted_upto(acts)

    def counts(each: KeptEntry) -> bool:
        kind = each.entry.kind
        if kind == "new_call":
            # It is said once the names are known, and by then the table is closed.
            return not each.late
        if kind == "hand_in" and each.late:
            return False
        # Who knows which codes were one coffee calls no longer by code alone.
        if kind == "call" and not _came_before(each, shown):
            return False
        return _came_before(each, closing) or each.arrival <= upto.get(each.entry.seat_id, 0)

    return [each.entry for each in kept if counts(each)]


def _came_before(kept: KeptEntry, closing: Event | None) -> bool:
    if closing is None:
        return True
    # Books of the first version did not say how far an act saw.
    return not kept.late if closing.arrival is None else kept.arrival <= closing.arrival


def out_of_evidence(
    kept: Iterable[KeptEntry], events: Iterable[Event], state: TableState
) -> frozenset[str]:
    """Return the ids of marks that are kept and came too late to count."""
    every = tuple(kept)
    in_time = {entry.id for entry in counted(every, events)}
    too_late = {each.entry.id for each in every if each.entry.id not in in_time}
    after = {entry.id for view in state.seats.values() for entry in view.late}
    marks = {each.entry.id for each in every if each.entry.kind == "mark"}
    return frozenset((too_late | after) & marks)


def refused_grips(events: Iterable[Event], seat_id: str) -> frozenset[int]:
    """Return the devices of a seat of which the host said "not us", and has not said otherwise."""
    refused: set[int] = set()
    for event in events:
        if event.seat_id == seat_id and event.kind == "device refused":
            refused.add(event.grip or 0)
        if event.seat_id == seat_id and event.kind == "device let back":
            refused.discard(event.grip or 0)
    return frozenset(refused)


def admitted_upto(events: Iterable[Event]) -> dict[str, int]:
    """Give, by seat, the last arrival that the host has let in after the table was closed."""
    upto: dict[str, int] = {}
    for event in events:
        if event.kind == "admitted" and event.seat_id:
            upto[event.seat_id] = max(upto.get(event.seat_id, 0), event.arrival or 0)
    return upto


def _facts(table: Table, records: TableRecords) -> dict[str, SeatFacts]:
    arrived: defaultdict[str, set[Number]] = defaultdict(set)
    for each in records.entries:
        arrived[each.entry.seat_id].add(each.entry.order)
    for aside in records.set_asides:
        if aside.grip is not None and aside.no is not None:
            arrived[aside.seat_id].add((aside.grip, aside.no))
    grips = {joining.seat_id: joining.grip for joining in records.joinings}
    return {
        seat.id: SeatFacts(grip=grips.get(seat.id, 0), arrived=frozenset(arrived[seat.id]))
        for seat in table.seats
    }


def subjects_of(lab: Lab, table: Table) -> tuple[str | None, ...]:
    """List what every taster of this table calls."""
    return call_subjects(table, each_place=lab.plugin(table.question).question.each_coffee)


def demand(state: TableState, event: str, *, hint: str) -> None:
    """Refuse an act that cannot follow where the table stands."""
    if not may_follow(state.flight, event):
        raise NotNow(f"The table is {state.flight}.", hint=hint)


def demand_state(state: TableState, *allowed: FlightState, hint: str) -> None:
    """Refuse unless the table stands in one of these states."""
    if state.flight not in allowed:
        raise NotNow(f"The table is {state.flight}.", hint=hint)
