"""How a table stands: the books folded, for every service that asks."""

from crustbreak.domain.records.tables import Table
from crustbreak.domain.table.fold import TableState, call_subjects, fold
from crustbreak.domain.table.states import FlightState, may_follow
from crustbreak.footing.errors import NotNow
from crustbreak.ports.books import Reading
from crustbreak.ports.lab import Lab


def stand(lab: Lab, reading: Reading, table: Table) -> TableState:
    """Fold what the books hold of a table."""
    return fold(
        table,
        [kept.entry for kept in reading.entries(table.id) if not kept.late],
        reading.events(table.id),
        subjects=subjects_of(lab, table),
    )


def subjects_of(lab: Lab, table: Table) -> tuple[str | None, ...]:
    """List what every taster of this table calls."""
    return call_subjects(table, each_place=lab.kit(table.question).question.each_coffee)


def demand(state: TableState, event: str, *, hint: str) -> None:
    """Refuse an act that cannot follow where the table stands."""
    if not may_follow(state.flight, event):
        raise NotNow(f"The table is {state.flight}.", hint=hint)


def demand_state(state: TableState, *allowed: FlightState, hint: str) -> None:
    """Refuse unless the table stands in one of these states."""
    if state.flight not in allowed:
        raise NotNow(f"The table is {state.flight}.", hint=hint)
