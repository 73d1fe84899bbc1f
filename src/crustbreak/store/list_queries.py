"""What can be asked of many tables at once, in as many statements as of one."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from datetime import datetime
from typing import Any, TypeVar

from sqlalchemy import (
    ColumnElement,
    Connection,
    Row,
    ScalarSelect,
    Select,
    and_,
    func,
    or_,
    select,
)
from sqlalchemy import Table as SqlTable

from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.numbered_bowls import NumberedBowls
from crustbreak.domain.records.verdicts import Verdict
from crustbreak.ports.documents import DocumentKind
from crustbreak.ports.repository import Joining, Listed, SetAside, TableRecords
from crustbreak.store import rows, schema

T = TypeVar("T")

_STATES = schema.table_states
_NEWEST = (_STATES.c.planned_at.desc(), _STATES.c.table_id)


def _last(table: SqlTable, column: str) -> ScalarSelect[Any]:
    mine = table.c.table_id == _STATES.c.table_id
    query = select(func.coalesce(func.max(table.c[column]), 0)).where(mine)
    return query.correlate(_STATES).scalar_subquery()


# With what `Reading.version` gives of one table.
LISTED = select(
    *(column for column in _STATES.c if column.name != "site"),
    _last(schema.entries, "arrival"),
    _last(schema.events, "number"),
    _last(schema.joinings, "arrival"),
    _last(schema.set_asides, "arrival"),
)


class ListsReading:
    """Lists of tables and what is kept of those that are named, on a connection."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def open_tables(self) -> tuple[Listed, ...]:
        """Return all tables at which something is owed, the newest first."""
        return self._listed(LISTED.where(_STATES.c.ended == "").order_by(*_NEWEST))

    def ended_tables(self, *, limit: int | None = None, before: str = "") -> tuple[Listed, ...]:
        """Return the newest tables that were decided or given up.

        Args:  before: only those that come after this table in the list; empty for all.
        """
        query = LISTED.where(_STATES.c.ended != "").order_by(*_NEWEST).limit(limit)
        return self._listed(query.where(_comes_after(before)) if before else query)

    def uncovered_tables(
        self, sheet: str, *, before: datetime | None, limit: int
    ) -> tuple[Listed, ...]:
        """Return the tables on a sheet whose codes have names, the last uncovered first."""
        at = _STATES.c.uncovered_at
        query = LISTED.where(_STATES.c.sheet == sheet, at.is_not(None))
        query = query.order_by(at.desc(), _STATES.c.table_id.desc()).limit(limit)
        return self._listed(query if before is None else query.where(at < before))

    def newest_table(self, question: str = "") -> Listed | None:
        """Return the newest table, or a question's newest that was not given up; None without."""
        query = LISTED.order_by(*_NEWEST).limit(1)
        if question:
            query = query.where(_STATES.c.question == question, _STATES.c.ended != "abandoned")
        return next(iter(self._listed(query)), None)

    def flights(self, screenings: Collection[str]) -> tuple[Listed, ...]:
        """Return the flights of screenings, the newest first."""
        query = LISTED.where(_STATES.c.first_look.in_(screenings), _STATES.c.first_look != "")
        return self._listed(query.order_by(*_NEWEST)) if screenings else ()

    def following(self, table_id: str) -> tuple[Listed, ...]:
        """Return the tables that add to the answer of one, the newest first."""
        return self._listed(LISTED.where(_STATES.c.follows == table_id).order_by(*_NEWEST))

    def listed(self, table_ids: Collection[str]) -> tuple[Listed, ...]:
        """Return these tables as in a list, the newest first; one that is not there is left out."""
        query = LISTED.where(_STATES.c.table_id.in_(table_ids)).order_by(*_NEWEST)
        return self._listed(query) if table_ids else ()

    def tables_with(
        self, kind: DocumentKind[Any], question: str, until: datetime
    ) -> tuple[Listed, ...]:
        """Return the tables of a question, planned until a moment, that have a document."""
        has = _STATES.c.table_id.in_(
            select(schema.documents.c.id).where(schema.documents.c.subject == kind.subject)
        )
        query = LISTED.where(_STATES.c.question == question, _STATES.c.planned_at <= until, has)
        return self._listed(query.order_by(*_NEWEST))

    def table_records(self, table_ids: Collection[str]) -> Mapping[str, TableRecords]:
        """Return all that was said and done at each table, in four queries."""
        entries = self._of(schema.entries, table_ids, order="arrival")
        events = self._of(schema.events, table_ids, order="number")
        asides = self._of(schema.set_asides, table_ids, order="arrival")
        joinings = self._of(schema.joinings, table_ids, order="arrival")
        return {
            table_id: TableRecords(
                entries=tuple(rows.read_entry(row) for row in entries[table_id]),
                events=tuple(rows.read_event(row) for row in events[table_id]),
                set_asides=tuple(rows.read_record(SetAside, row) for row in asides[table_id]),
                joinings=tuple(rows.read_record(Joining, row) for row in joinings[table_id]),
            )
            for table_id in table_ids
        }

    def coffees_of(self, table_ids: Collection[str]) -> Mapping[str, tuple[Coffee, ...]]:
        """Return the coffees of each table in the order typed."""
        found = self._of(schema.coffees, table_ids, order="position")
        return {each: tuple(rows.read_coffee(row) for row in found[each]) for each in table_ids}

    def trays_of(self, table_ids: Collection[str]) -> Mapping[str, tuple[NumberedBowls, ...]]:
        """Return what goes into the numbered bowls of each table."""
        found = self._of(schema.numbered_bowls, table_ids, order="position")
        return {
            each: tuple(rows.read_numbered_bowls(row) for row in found[each]) for each in table_ids
        }

    def verdicts_of(self, table_ids: Collection[str]) -> Mapping[str, Verdict]:
        """Return the latest verdict of each table that has one."""
        verdicts = schema.verdicts
        last = select(func.max(verdicts.c.arrival)).where(verdicts.c.table_id.in_(table_ids))
        query = select(verdicts).where(verdicts.c.arrival.in_(last.group_by(verdicts.c.table_id)))
        found = self._all(query) if table_ids else ()
        return {row.table_id: rows.read_record(Verdict, row) for row in found}

    def _listed(self, query: Select[Any]) -> tuple[Listed, ...]:
        return tuple(rows.read_listed(row) for row in self._all(query))

    def _of(
        self, table: SqlTable, table_ids: Collection[str], *, order: str
    ) -> Mapping[str, Sequence[Row[Any]]]:
        found: defaultdict[str, list[Row[Any]]] = defaultdict(list)
        query = select(table).where(table.c.table_id.in_(table_ids))
        for row in self._all(query.order_by(table.c.table_id, table.c[order])):
            found[row.table_id].append(row)
        return found

    def _all(self, query: Select[Any]) -> Sequence[Row[Any]]:
        return self._connection.execute(query).all()


def _comes_after(table_id: str) -> ColumnElement[bool]:
    mine = select(_STATES.c.planned_at).where(_STATES.c.table_id == table_id).scalar_subquery()
    at = _STATES.c.planned_at
    return or_(at < mine, and_(at == mine, _STATES.c.table_id > table_id))


def _highest(table: SqlTable) -> ScalarSelect[Any]:
    return select(func.coalesce(func.max(table.c.arrival), 0)).scalar_subquery()
