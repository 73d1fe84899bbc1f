from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest

from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.numbered_bowls import NumberedBowls
from crustbreak.domain.records.physicals import Physicals
from crustbreak.domain.records.tables import Screening, Table
from crustbreak.domain.records.verdicts import Verdict
from crustbreak.ports.documents import PHYSICALS
from crustbreak.ports.repository import KeptEntry, Listed, TableRecords
from crustbreak.store.list_queries import ListsReading
from crustbreak.store.queries import Queries
from crustbreak.store.repository import SqliteRepository

A_DAY = timedelta(days=1)


@pytest.fixture
def tables(
    repository: SqliteRepository, make_table: Callable[..., Table], moment: datetime
) -> dict[str, Table]:
    """Give four tables, each a day after the one before: decided, given up, uncovered, planned."""
    look = Screening(id="look", nth=1, of=1, by_class=False, occasion="Flood")
    made = {
        "decided": make_table("decided", planned_at=moment),
        "given up": make_table("given up", planned_at=moment + A_DAY),
        "uncovered": make_table("uncovered", planned_at=moment + 2 * A_DAY, screening=look),
        "planned": make_table("planned", planned_at=moment + 3 * A_DAY, follows="uncovered"),
    }
    for name, table in made.items():
        repository.write(
            lambda writing, at=table: writing.add_table(at, coffees(at.id), token=at.id)
        )
        for act in {
            "decided": ("uncovered", "decided"),
            "given up": ("abandoned",),
            "uncovered": ("uncovered",),
        }.get(name, ()):
            act_at(repository, name, act, table.planned_at)
    return made


def coffees(table_id: str) -> tuple[Coffee, ...]:
    return tuple(Coffee(id=f"{table_id} {nth}", name=f"Tarn {nth}") for nth in (2, 1))


def act_at(repository: SqliteRepository, table_id: str, kind: Any, at: datetime) -> None:
    repository.write(lambda writing: writing.add_event(table_id, kind, at=at))


def ids(listed: tuple[Listed, ...]) -> list[str]:
    return [each.id for each in listed]


def test_open_and_ended_tables_are_told_apart_and_come_newest_first(
    repository: SqliteRepository, tables: dict[str, Table]
) -> None:
    assert issubclass(Queries, ListsReading)
    assert ids(repository.read(lambda reading: reading.open_tables())) == ["planned", "uncovered"]
    assert ids(repository.read(lambda reading: reading.ended_tables())) == ["given up", "decided"]
    assert ids(repository.read(lambda reading: reading.ended_tables(limit=1))) == ["given up"]
    assert ids(repository.read(lambda reading: reading.ended_tables(before="given up"))) == [
        "decided"
    ]
    assert repository.read(lambda reading: reading.ended_tables(before="nobody's")) == ()


def test_tables_of_one_moment_are_paged_without_losing_one(
    repository: SqliteRepository, make_table: Callable[..., Table], moment: datetime
) -> None:
    for name in ("b", "a", "c"):
        table = make_table(name)
        repository.write(lambda writing, at=table: writing.add_table(at, (), token=at.id))
        act_at(repository, name, "abandoned", moment)

    pages = [
        ids(repository.read(lambda reading, at=at: reading.ended_tables(limit=1, before=at)))
        for at in ("", "a", "b", "c")
    ]

    assert pages == [["a"], ["b"], ["c"], []]


def test_letting_marks_in_opens_a_decided_table_again(
    repository: SqliteRepository, tables: dict[str, Table], moment: datetime
) -> None:
    act_at(repository, "decided", "admitted", moment + 9 * A_DAY)

    (listed,) = repository.read(lambda reading: reading.listed(("decided", "nobody's")))

    assert (listed.ended, listed.uncovered_at) == ("", moment)


def test_uncovered_tables_are_those_before_a_moment(
    repository: SqliteRepository, tables: dict[str, Table], moment: datetime
) -> None:
    def ask(sheet: str, before: datetime | None, limit: int = 9) -> list[str]:
        found = repository.read(lambda r: r.uncovered_tables(sheet, before=before, limit=limit))
        return ids(found)

    assert ask("ten_line/1", None) == ["uncovered", "decided"]
    assert ask("ten_line/1", None, 1) == ["uncovered"]
    assert ask("ten_line/1", moment + 2 * A_DAY) == ["decided"]
    assert ask("other/1", None) == []


def test_finds_the_newest_the_flights_and_what_follows(
    repository: SqliteRepository, tables: dict[str, Table]
) -> None:
    newest = repository.read(lambda reading: reading.newest_table())
    kept = repository.read(lambda reading: reading.newest_table("choose"))
    none = repository.read(lambda reading: reading.newest_table("match"))

    assert newest is not None
    assert (newest.id, newest.follows, kept, none) == ("planned", "uncovered", newest, None)
    assert ids(repository.read(lambda reading: reading.flights(("look", "other")))) == ["uncovered"]
    assert repository.read(lambda reading: reading.flights(())) == ()
    assert ids(repository.read(lambda reading: reading.following("uncovered"))) == ["planned"]


def test_the_version_in_a_list_is_the_version_of_the_table(
    repository: SqliteRepository, tables: dict[str, Table], make_entry: Callable[..., KeptEntry]
) -> None:
    said = make_entry(table_id="planned", seat_id="planned-seat-1")
    repository.write(lambda writing: writing.add_entry(said))

    listed = repository.read(lambda reading: reading.listed(tuple(tables)))

    for each in listed:
        assert each.version == repository.read(lambda reading, at=each.id: reading.version(at))
    assert len({each.version for each in listed}) > 1


def test_many_tables_are_read_in_as_many_statements_as_one(
    repository: SqliteRepository, tables: dict[str, Table], counted: Callable[..., Any]
) -> None:
    def ask(names: tuple[str, ...]) -> int:
        with counted("before_cursor_execute") as statements:
            repository.read(lambda reading: reading.tables_of(names))
            repository.read(lambda reading: reading.table_records(names))
            repository.read(lambda reading: reading.coffees_of(names))
            repository.read(lambda reading: reading.trays_of(names))
            repository.read(lambda reading: reading.verdicts_of(names))
        return len(statements)

    assert ask(("planned",)) == ask(tuple(tables)) == 5 + 4 + 4 + 1 + 1 + 1


def test_what_is_read_together_is_what_is_read_one_by_one(
    repository: SqliteRepository, tables: dict[str, Table], make_entry: Callable[..., KeptEntry]
) -> None:
    said = make_entry(table_id="planned", seat_id="planned-seat-1")
    repository.write(lambda writing: writing.add_entry(said))
    names = tuple(tables)

    records = repository.read(lambda reading: reading.table_records(names))
    coffees_of = repository.read(lambda reading: reading.coffees_of(names))

    assert repository.read(lambda reading: reading.tables_of((*names, "nobody's"))) == tables
    assert repository.read(lambda reading: reading.tables_of(())) == {}
    for name in names:
        one = repository.read(
            lambda r, at=name: TableRecords(
                entries=r.entries(at),
                events=r.events(at),
                set_asides=r.set_asides(at),
                joinings=r.joinings(at),
            )
        )
        assert records[name] == one
        assert coffees_of[name] == coffees(name)


def test_trays_come_by_table(
    repository: SqliteRepository, make_table: Callable[..., Table], tables: dict[str, Table]
) -> None:
    table = make_table("numbered", is_numbered=True)
    bowl_group = NumberedBowls(coffee_id="numbered 1", bowls=(3, 7), order_class=1)
    repository.write(
        lambda w: w.add_table(table, coffees("numbered"), token="t", numbered_bowls=(bowl_group,))
    )

    found = repository.read(lambda reading: reading.trays_of(("numbered", "planned")))

    assert found == {"numbered": (bowl_group,), "planned": ()}


def test_the_latest_verdict_of_each_table_counts(
    repository: SqliteRepository, tables: dict[str, Table], moment: datetime
) -> None:
    for digest in ("1", "2"):
        verdict = Verdict(
            table_id="decided", decided_at=moment, decided_by="P", record="{}", digest=digest
        )
        repository.write(lambda writing, kept=verdict: writing.add_verdict(kept))

    found = repository.read(lambda reading: reading.verdicts_of(("decided", "planned")))

    assert {name: each.digest for name, each in found.items()} == {"decided": "2"}
    assert repository.read(lambda reading: reading.verdicts_of(())) == {}


def test_measured_tables_are_those_with_physicals_until_a_moment(
    repository: SqliteRepository, tables: dict[str, Table], moment: datetime
) -> None:
    before = repository.read(lambda reading: reading.documents_version(PHYSICALS))
    for name in ("decided", "planned"):
        repository.write(lambda w, of=name: w.add_document(PHYSICALS, Physicals(), of, at=moment))

    def ask(until: datetime) -> list[str]:
        return ids(repository.read(lambda reading: reading.tables_with(PHYSICALS, "choose", until)))

    assert ask(moment + 9 * A_DAY) == ["planned", "decided"]
    assert ask(moment) == ["decided"]
    assert repository.read(lambda reading: reading.documents_version(PHYSICALS)) > before
