"""What was planned once and never changes: tables and their coffees, read from the records once."""

from collections.abc import Callable, Collection, Mapping
from typing import TypeVar

from crustbreak.core.errors import NotThere
from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import ReadAccess

T = TypeVar("T")

# It has one version.
ONCE = "as planned"


def table_of(lab: Lab, records: ReadAccess, table_id: str) -> Table:
    """Return one table; NotThere when there is none."""
    found = tables_of(lab, records, (table_id,)).get(table_id)
    if found is None:
        raise NotThere("There is no such table.", hint="Look at the list of tables.")
    return found


def tables_of(lab: Lab, records: ReadAccess, table_ids: Collection[str]) -> Mapping[str, Table]:
    """Return tables by id; one that is not there is left out."""
    return _each(lab, records, "planned table", table_ids, records.tables_of)


def coffees_of(lab: Lab, records: ReadAccess, table_id: str) -> tuple[Coffee, ...]:
    """Return a table's coffees in the order typed."""
    return coffees_of_all(lab, records, (table_id,)).get(table_id, ())


def coffees_of_all(
    lab: Lab, records: ReadAccess, table_ids: Collection[str]
) -> Mapping[str, tuple[Coffee, ...]]:
    """Return the coffees of each table in the order typed."""
    return _each(lab, records, "coffees of", table_ids, records.coffees_of)


def _each(
    lab: Lab,
    records: ReadAccess,
    what: str,
    table_ids: Collection[str],
    read: Callable[[Collection[str]], Mapping[str, T]],
) -> dict[str, T]:
    """Return what is remembered of each table, and read the rest in one go."""
    known = {each: lab.cache.recall(f"{what} {each}", ONCE) for each in table_ids}
    missing = [each for each, found in known.items() if found is None]
    fresh = read(missing) if missing else {}
    # What a piece of work has added may still be undone.
    if not records.is_writing:
        for each, found in fresh.items():
            lab.cache.remember(f"{what} {each}", ONCE, found)
    every = {**known, **fresh}
    return {each: found for each in table_ids if (found := every[each]) is not None}
