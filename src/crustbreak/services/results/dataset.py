"""A table's looks with the names of its coffees, and what earlier tables say of its tasters."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from crustbreak.analysis.dataset import Dataset, table_dataset
from crustbreak.core.errors import NotYours
from crustbreak.domain.capabilities import LotHistory
from crustbreak.domain.planning.plan_request import as_compared
from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.blinding import Role, may_see_totals
from crustbreak.domain.tables.entries import Event
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import ReadAccess
from crustbreak.services.tables.keys import open_control, open_key
from crustbreak.services.tables.state import snapshot_in

# Tasters change over the years, and each further table adds less.
MOST_TABLES = 60
# A name that stood on a table within so many days of another is the same lot; later the next
# crop may bear it. Our judgement. A control bears its name for good: its portions are frozen.
LOT_DAYS = 180


def dataset_of(lab: Lab, table: Table) -> Dataset:
    """Return the table's looks with their coffees; NotYours while codes are sealed."""
    key = open_key(lab, table, Role.HOST)

    def ask(records: ReadAccess) -> Dataset:
        state = snapshot_in(lab, records, table)
        if not may_see_totals(state.flight):
            raise NotYours("No totals while codes are sealed.", hint="Uncover the table first.")
        return table_dataset(
            table, state, lab.sheet(table.sheet), key=key, coffees=records.coffees(table.id)
        )

    return lab.repository.read(ask)


def control_dataset(lab: Lab, table: Table) -> Dataset:
    """Return the looks at a table's control alone, with the tables before it.

    Raises:  NotYours until it may be known which code it was.
    """
    key = open_control(lab, table)
    acts = lab.repository.read(lambda records: records.events_by_table())
    history = _before(lab, table.sheet, acts, until=_uncovered(acts.get(table.id, ())))

    def ask(records: ReadAccess) -> Dataset:
        state = snapshot_in(lab, records, table)
        coffees = tuple(each for each in records.coffees(table.id) if each.is_control)
        told = tuple(place for place in table.places if place.id in key.coffee_of)
        alone = replace(table, flights=(replace(table.flights[0], places=told),))
        sheet = lab.sheet(table.sheet)
        return table_dataset(alone, state, sheet, key=key, coffees=coffees)

    return replace(_with_lots(lab.repository.read(ask)), history=history)


def dataset_with_history(lab: Lab, table: Table) -> Dataset:
    """Return the table's looks with what is assumed of them and the tables uncovered before it.

    All such tables count, whatever was decided on them: leaving out what was declined would
    make the bought coffees look better than they are.
    """
    acts = lab.repository.read(lambda records: records.events_by_table())
    today = _uncovered(acts.get(table.id, ()))
    history = _before(lab, table.sheet, acts, until=today, follows=table.follows)
    return replace(
        _with_lots(dataset_of(lab, table)),
        priors=lab.priors(table.sheet),
        history=history,
        at=today,
        lab_settings=lab.repository.read(lambda records: records.lab_settings(table.planned_at)),
    )


def _with_lots(dataset: Dataset, *, is_recent: bool = True) -> Dataset:
    """Let every coffee be the lot that its name says; of an old table the control alone."""
    named = (*(dataset.coffees if is_recent else ()), *dataset.controls)
    return replace(dataset, lots={each.id: as_compared(each.name) for each in named})


def known_lots(lab: Lab, table: Table) -> tuple[tuple[str, int], ...]:
    """Return the names on a table that will be taken for a lot of earlier ones, and of how many.

    It asks for names alone and opens no key. Nothing where the question keeps to its own table.
    """
    if not lab.plugin(table.question).question.can(LotHistory):
        return ()

    def ask(records: ReadAccess) -> tuple[tuple[str, int], ...]:
        acts = records.events_by_table()
        stood = Counter(
            as_compared(coffee.name)
            for each in records.tables()
            if each.sheet == table.sheet
            and _is_recent(_uncovered(acts.get(each.id, ())), table.planned_at)
            for coffee in records.coffees(each.id)
            if not coffee.is_control
        )
        named = [each.name for each in records.coffees(table.id) if not each.is_control]
        return tuple((name, stood[as_compared(name)]) for name in named if stood[as_compared(name)])

    return lab.repository.read(ask)


def _is_recent(uncovered: datetime | None, planned_at: datetime) -> bool:
    earliest = planned_at - timedelta(days=LOT_DAYS)
    return uncovered is not None and earliest <= uncovered < planned_at


def lab_history(lab: Lab, sheet: str) -> tuple[Dataset, ...]:
    """Return the uncovered tables on a sheet, the last one first."""
    acts = lab.repository.read(lambda records: records.events_by_table())
    return _before(lab, sheet, acts, until=None)


def most_of(tables: Sequence[Table], *, follows: str) -> tuple[Table, ...]:
    """Return so many of the tables as count, the last one first as they come.

    Args:  follows: of the table to whose answer is added, or empty. However many have come between,
           all looks at that answer stay: without them a later one would pass for the first.
    """
    before = {table.id: table.follows for table in tables}
    ratings = set()
    while follows in before and follows not in ratings:
        ratings.add(follows)
        follows = before[follows]
    return tuple(
        table for nth, table in enumerate(tables) if nth < MOST_TABLES or table.id in ratings
    )


def _before(
    lab: Lab,
    sheet: str,
    acts: Mapping[str, tuple[Event, ...]],
    *,
    until: datetime | None,
    follows: str = "",
) -> tuple[Dataset, ...]:
    found = [
        (at, table)
        for table in lab.repository.read(lambda records: records.tables())
        if table.sheet == sheet
        and (at := _uncovered(acts.get(table.id, ()))) is not None
        and (until is None or at < until)
    ]
    found.sort(key=lambda each: (each[0], each[1].id), reverse=True)
    since = (until or found[0][0]) - timedelta(days=LOT_DAYS) if found else None
    kept = {table.id for table in most_of([table for _, table in found], follows=follows)}
    frames = (
        (at, replace(dataset_of(lab, table), at=at)) for at, table in found if table.id in kept
    )
    return tuple(
        _with_lots(dataset, is_recent=since is not None and at >= since) for at, dataset in frames
    )


def _uncovered(acts: tuple[Event, ...]) -> datetime | None:
    return next((act.at for act in acts if act.kind == "uncovered"), None)
