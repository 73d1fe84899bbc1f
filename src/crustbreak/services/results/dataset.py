"""A table's looks with the names of its coffees, and what earlier tables say of its tasters."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Protocol, TypeVar

from crustbreak.analysis.dataset import Dataset, table_dataset
from crustbreak.core.errors import NotYours
from crustbreak.domain.capabilities import LotHistory
from crustbreak.domain.planning.plan_request import as_compared
from crustbreak.domain.records.lab_settings import LabSettings
from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.blinding import Role, may_see_totals
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import Listed, ReadAccess
from crustbreak.services.documents import lab_settings_at
from crustbreak.services.tables.keys import open_control, open_keys
from crustbreak.services.tables.planned import coffees_of, coffees_of_all, tables_of
from crustbreak.services.tables.state import TableSnapshot, snapshot_in, work_out

# Tasters change over the years, and each further table adds less.
MOST_TABLES = 60
# A name that stood on a table within so many days of another is the same lot; later the next
# crop may bear it. Our judgement. A control bears its name for good: its portions are frozen.
LOT_DAYS = 180


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """What the evidence of a table comes from: two alike give the same.

    mine:     the table.
    history:  the tables that count beside it, the last uncovered first.
    house:    what the lab said of itself when the table was planned.
    """

    mine: Listed
    history: tuple[Listed, ...]
    lab_settings: LabSettings


def basis_of(lab: Lab, table: Table) -> Basis:
    """Return what the evidence of a table comes from, by which one sees whether it has changed."""

    def ask(records: ReadAccess) -> Basis:
        (mine,) = records.listed((table.id,))
        history = _counting(
            lab, records, table.sheet, until=mine.uncovered_at, follows=table.follows
        )
        return Basis(
            mine=mine, history=history, lab_settings=lab_settings_at(records, table.planned_at)
        )

    return lab.repository.read(ask)


def dataset_of(lab: Lab, table: Table) -> Dataset:
    """Return the table's looks with their coffees; NotYours while codes are sealed."""
    listed = lab.repository.read(lambda records: records.listed((table.id,)))
    return _frames(lab, listed)[table.id]


def control_dataset(lab: Lab, table: Table) -> Dataset:
    """Return the looks at a table's control alone, with the tables before it.

    Raises:  NotYours until it may be known which code it was.
    """
    key = open_control(lab, table)
    basis = basis_of(lab, table)

    def ask(records: ReadAccess) -> Dataset:
        state = snapshot_in(lab, records, table)
        coffees = tuple(each for each in coffees_of(lab, records, table.id) if each.is_control)
        told = tuple(place for place in table.places if place.id in key.coffee_of)
        alone = replace(table, flights=(replace(table.flights[0], places=told),))
        sheet = lab.sheet(table.sheet)
        return table_dataset(alone, state, sheet, key=key, coffees=coffees)

    dataset = _with_lots(lab.repository.read(ask))
    return replace(dataset, history=_history(lab, basis.history, until=basis.mine.uncovered_at))


def dataset_with_history(lab: Lab, table: Table) -> Dataset:
    """Return the table's looks with what is assumed of them and the tables uncovered before it.

    All such tables count, whatever was decided on them: leaving out what was declined would
    make the bought coffees look better than they are.
    """
    return dataset_on(lab, table, basis_of(lab, table))


def dataset_on(lab: Lab, table: Table, basis: Basis) -> Dataset:
    """Return the same on what it comes from, where that is known already."""
    mine, today = basis.mine, basis.mine.uncovered_at
    dataset = _frames(lab, (mine,))[mine.id]
    return replace(
        _with_lots(dataset),
        priors=lab.priors(table.sheet),
        history=_history(lab, basis.history, until=today),
        at=today,
        lab_settings=basis.lab_settings,
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
        history = _counting(lab, records, table.sheet, until=table.planned_at)
        recent = [each.id for each in history if _is_recent(each, table.planned_at)]
        stood = Counter(
            as_compared(coffee.name)
            for coffees in coffees_of_all(lab, records, recent).values()
            for coffee in coffees
            if not coffee.is_control
        )
        mine = coffees_of(lab, records, table.id)
        named = [each.name for each in mine if not each.is_control]
        return tuple((name, stood[as_compared(name)]) for name in named if stood[as_compared(name)])

    return lab.repository.read(ask)


def _is_recent(listed: Listed, planned_at: datetime) -> bool:
    at = listed.uncovered_at
    return at is not None and at >= planned_at - timedelta(days=LOT_DAYS)


def lab_history(lab: Lab, sheet: str) -> tuple[Dataset, ...]:
    """Return the uncovered tables on a sheet, the last one first."""
    listed = lab.repository.read(lambda records: _counting(lab, records, sheet, until=None))
    return _history(lab, listed, until=None)


def history_version(lab: Lab, sheet: str) -> tuple[object, ...]:
    """Return what changes whenever `house_history` does, and is quicker to ask for."""
    listed = lab.repository.read(lambda records: _counting(lab, records, sheet, until=None))
    return tuple((each.id, each.version) for each in listed)


class _Adding(Protocol):
    """A table that may add to the answer of an earlier one."""

    @property
    def id(self) -> str: ...
    @property
    def follows(self) -> str: ...


A = TypeVar("A", bound=_Adding)


def most_of(tables: Sequence[A], *, follows: str) -> tuple[A, ...]:
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


def _counting(
    lab: Lab, records: ReadAccess, sheet: str, *, until: datetime | None, follows: str = ""
) -> tuple[Listed, ...]:
    """List the tables on a sheet that count beside one, in as many statements as of one."""
    latest = records.uncovered_tables(sheet, before=until, limit=MOST_TABLES)
    there = {each.id for each in latest}
    older = [
        each
        for each in records.listed(_looks_before(lab, records, follows) - there)
        if each.sheet == sheet
        and each.uncovered_at is not None
        and (until is None or each.uncovered_at < until)
    ]
    found = sorted((*latest, *older), key=_uncovered_last, reverse=True)
    return most_of(found, follows=follows)


def _looks_before(lab: Lab, records: ReadAccess, follows: str) -> set[str]:
    """Return the ids of the tables whose answer is added to, one after the other."""
    ratings: set[str] = set()
    while follows and follows not in ratings:
        ratings.add(follows)
        table = tables_of(lab, records, (follows,)).get(follows)
        follows = table.follows if table else ""
    return ratings


def _uncovered_last(listed: Listed) -> tuple[datetime, str]:
    return (listed.uncovered_at or listed.planned_at, listed.id)


def _history(lab: Lab, listed: Sequence[Listed], *, until: datetime | None) -> tuple[Dataset, ...]:
    frames = _frames(lab, listed)
    latest = until or (listed[0].uncovered_at if listed else None)
    since = latest - timedelta(days=LOT_DAYS) if latest else None
    return tuple(
        _with_lots(replace(frames[each.id], at=at), is_recent=since is not None and at >= since)
        for each in listed
        for at in (each.uncovered_at,)
        if at is not None
    )


def _frames(lab: Lab, listed: Sequence[Listed]) -> dict[str, Dataset]:
    """Return the looks at tables, each worked out once for as long as nothing is added to it."""
    known: dict[str, Dataset | None] = {
        each.id: lab.cache.recall(f"frame {each.id}", each.version) for each in listed
    }
    fresh = _work_out(lab, [each.id for each in listed if known[each.id] is None])
    for each in listed:
        if each.id in fresh:
            lab.cache.remember(f"frame {each.id}", each.version, fresh[each.id])
    return {each: dataset for each, dataset in {**known, **fresh}.items() if dataset is not None}


def _work_out(lab: Lab, table_ids: Sequence[str]) -> dict[str, Dataset]:
    """Put marks, keys and names of tables together, in as many statements as of one."""
    if not table_ids:
        return {}

    def ask(records: ReadAccess) -> tuple[Mapping[str, Table], dict[str, TableSnapshot]]:
        tables, of = tables_of(lab, records, table_ids), records.table_records(table_ids)
        return tables, {each: work_out(lab, tables[each], of[each]) for each in table_ids}

    tables, found = lab.repository.read(ask)
    keys = open_keys(lab, tables, found, Role.HOST)
    coffees = lab.repository.read(lambda records: coffees_of_all(lab, records, table_ids))
    for each in found.values():
        if not may_see_totals(each.state.flight):
            raise NotYours("No totals while codes are sealed.", hint="Uncover the table first.")
    return {
        each: table_dataset(
            tables[each],
            found[each].state,
            lab.sheet(tables[each].sheet),
            key=keys[each],
            coffees=coffees[each],
        )
        for each in table_ids
    }
