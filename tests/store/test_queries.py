from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest

from crustbreak.core.errors import NotThere, NotYours
from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.tables import Table
from crustbreak.domain.records.verdicts import Verdict
from crustbreak.ports.repository import (
    Glance,
    Helper,
    Joining,
    KeptEntry,
    Pass,
    ReadAccess,
    SetAside,
    Tap,
    WriteAccess,
)
from crustbreak.store.queries import Queries
from crustbreak.store.repository import SqliteRepository


def add_tables(repository: SqliteRepository, tables: list[Table]) -> None:
    def work(writing: WriteAccess) -> None:
        for table in tables:
            writing.add_table(table, (Coffee(id="c", name="C"),), token=f"token of {table.id}")

    repository.write(work)


def test_the_books_are_asked_through_one_class(repository: SqliteRepository) -> None:
    assert repository.read(type) is Queries


def test_a_table_comes_back_as_it_was_planned(repository: SqliteRepository, table: Table) -> None:
    assert repository.read(lambda reading: reading.table(table.id)) == table


def test_the_newest_table_comes_first(
    repository: SqliteRepository, make_table: Callable[..., Table], moment: datetime
) -> None:
    tables = [
        make_table(name, planned_at=moment + timedelta(milliseconds=after))
        for name, after in (("b", 1), ("c", 0), ("a", 2))
    ]
    add_tables(repository, tables)

    read = repository.read(lambda reading: reading.tables())

    assert [table.id for table in read] == ["a", "b", "c"]
    assert set(read) == set(tables)


def test_all_tables_take_as_many_queries_as_one(
    repository: SqliteRepository, make_table: Callable[..., Table], counted: Callable[..., Any]
) -> None:
    queries = {}
    for number in (10, 20):
        add_tables(repository, [make_table(f"table {each}") for each in range(number - 10, number)])
        with counted("before_cursor_execute") as statements:
            assert len(repository.read(lambda reading: reading.tables())) == number
        queries[number] = len(statements)

    assert queries == {10: 5, 20: 5}, "BEGIN, tables, flights, places, seats"


def test_coffees_come_in_the_order_typed(repository: SqliteRepository, table: Table) -> None:
    coffees = repository.read(lambda reading: reading.coffees(table.id))

    assert [coffee.name for coffee in coffees] == ["Sidra", "Anaerobic", "B"]


def test_an_invitation_leads_to_its_table_and_back(
    repository: SqliteRepository, table: Table
) -> None:
    token = repository.read(lambda reading: reading.invitation(table.id))

    assert repository.read(lambda reading: reading.invited(token)) == table


@pytest.mark.parametrize(
    "ask",
    [
        pytest.param(lambda reading: reading.table("nobody's"), id="table"),
        pytest.param(lambda reading: reading.invitation("nobody's"), id="invitation"),
        pytest.param(lambda reading: reading.invited("nobody's"), id="invited"),
        pytest.param(lambda reading: reading.invited("\ud800"), id="invited by no text at all"),
    ],
)
def test_what_is_not_there_is_said_with_a_hint(
    repository: SqliteRepository, table: Table, ask: Callable[[ReadAccess], object]
) -> None:
    with pytest.raises(NotThere) as refused:
        repository.read(ask)

    assert refused.value.hint


def test_an_unknown_secret_is_nobodys(repository: SqliteRepository, table: Table) -> None:
    with pytest.raises(NotYours):
        repository.read(lambda reading: reading.joining("0" * 64))


def test_nothing_was_said_at_an_unknown_table(repository: SqliteRepository) -> None:
    def ask(reading: ReadAccess) -> list[object]:
        return [
            reading.coffees("x"),
            reading.entries("x"),
            reading.set_asides("x"),
            reading.events("x"),
            reading.joinings("x"),
        ]

    assert repository.read(ask) == [()] * 5
    assert repository.read(lambda reading: reading.verdict("x")) is None
    assert repository.read(lambda reading: reading.hand_ins("x")) == ()
    assert repository.read(lambda reading: reading.last_arrival("x")) == 0


def test_entries_come_in_the_order_of_arrival(
    repository: SqliteRepository, table: Table, make_entry: Callable[..., KeptEntry]
) -> None:
    arrived = [make_entry(3), make_entry(1), make_entry(2, seat_id="table-1-seat-2")]
    for kept in arrived:
        repository.write(lambda writing, kept=kept: writing.add_entry(kept))

    read = repository.read(lambda reading: reading.entries(table.id))

    assert [kept.entry for kept in read] == [kept.entry for kept in arrived]
    assert [kept.arrival for kept in read] == [1, 2, 3]
    assert repository.read(lambda reading: reading.last_arrival(table.id)) == 3


def test_a_seat_is_seen_at_a_glance(
    repository: SqliteRepository,
    table: Table,
    make_entry: Callable[..., KeptEntry],
    moment: datetime,
) -> None:
    seat = "table-1-seat-1"
    blank = {"kind": "hand_in", "place_id": None, "line": None, "round": None, "value": None}

    def glance() -> Glance:
        return repository.read(lambda reading: reading.glance(table.id, seat))

    def add(work: Callable[[WriteAccess], object]) -> None:
        repository.write(work)

    nothing = Glance(closed=False, has_refusals=False, has_hand_ins=False, grip=0)
    assert glance() == nothing
    add(lambda writing: writing.add_entry(make_entry(1, late=True, **blank)))
    add(lambda writing: writing.add_entry(make_entry(1, seat_id="table-1-seat-2", **blank)))
    add(
        lambda writing: writing.add_event(
            table.id, "device refused", at=moment, seat_id="table-1-seat-2", grip=1
        )
    )
    assert glance() == nothing
    for grip in (1, 2):
        joining = Joining(
            table_id=table.id, seat_id=seat, grip=grip, secret_hash=f"{grip}", joined_at=moment
        )
        add(lambda writing, joining=joining: writing.add_joining(joining))
    assert glance() == replace(nothing, grip=2)
    add(
        lambda writing: writing.add_event(
            table.id, "device refused", at=moment, seat_id=seat, grip=1
        )
    )
    assert glance() == replace(nothing, grip=2, has_refusals=True)
    add(lambda writing: writing.add_entry(make_entry(2, **blank)))
    add(lambda writing: writing.add_event(table.id, "uncovered", at=moment))
    assert glance() == Glance(closed=True, has_refusals=True, has_hand_ins=True, grip=2)


def test_hand_ins_of_a_seat_are_found_without_the_late_ones(
    repository: SqliteRepository, table: Table, make_entry: Callable[..., KeptEntry]
) -> None:
    blank = {"kind": "hand_in", "place_id": None, "line": None, "round": None, "value": None}

    def work(writing: WriteAccess) -> None:
        writing.add_entry(make_entry(5, **blank))
        writing.add_entry(make_entry(6, grip=2, late=True, **blank))
        writing.add_entry(make_entry(5, seat_id="table-1-seat-2", **blank))

    repository.write(work)

    assert repository.read(lambda reading: reading.hand_ins("table-1-seat-1")) == ((1, 5),)


def test_the_code_of_now_is_the_last(
    repository: SqliteRepository, table: Table, moment: datetime
) -> None:
    for code in ("AAA222", "BBB333"):
        repository.write(lambda writing, code=code: writing.add_code(table.id, code, at=moment))

    assert repository.read(lambda reading: reading.code(table.id)) == "BBB333"
    assert repository.read(lambda reading: reading.coded("BBB333")) == table.id
    assert repository.read(lambda reading: reading.coded("AAA222")) is None
    assert repository.read(lambda reading: reading.code("x")) == ""


def test_a_pass_is_found_by_its_token_and_by_its_code(
    repository: SqliteRepository, table: Table, moment: datetime
) -> None:
    leave = Pass(table_id=table.id, seat_id=None, token="t" * 22, code="CCC444", made_at=moment)
    repository.write(lambda writing: writing.add_pass(leave))

    assert repository.read(lambda reading: reading.passed(leave.token)) == leave
    assert repository.read(lambda reading: reading.passed(leave.code)) == leave
    assert repository.read(lambda reading: reading.passed("DDD555")) is None
    assert repository.read(lambda reading: reading.passes(table.id)) == (leave,)


def test_a_helper_and_its_taps_come_back(
    repository: SqliteRepository, table: Table, moment: datetime
) -> None:
    helper = Helper(
        table_id=table.id, grip=1, secret_hash="h" * 64, joined_at=moment, token="t" * 22
    )
    tap = Tap(
        table_id=table.id,
        id="a" * 32,
        grip=1,
        no=1,
        kind="poured",
        value=None,
        device_time=moment,
        received_at=moment,
        digest="0" * 64,
    )

    def work(writing: WriteAccess) -> None:
        writing.add_helper(helper)
        writing.add_tap(tap)

    repository.write(work)

    assert repository.read(lambda reading: reading.helpers(table.id)) == (helper,)
    assert repository.read(lambda reading: reading.helper("h" * 64)) == helper
    assert repository.read(lambda reading: reading.helper("i" * 64)) is None
    assert repository.read(lambda reading: reading.taps(table.id)) == (tap,)


def test_a_lab_has_the_life_that_was_begun_last(
    repository: SqliteRepository, moment: datetime
) -> None:
    before = repository.read(lambda reading: reading.incarnation())
    for life in ("one", "two"):
        repository.write(
            lambda writing, life=life: writing.add_incarnation(life, at=moment, reason="begun")
        )

    assert before == ""
    assert repository.read(lambda reading: reading.incarnation()) == "two"


def test_a_host_device_is_known_by_its_secret(
    repository: SqliteRepository, moment: datetime
) -> None:
    repository.write(lambda writing: writing.add_host_device("d" * 64, at=moment))

    assert repository.read(lambda reading: reading.is_host_device("d" * 64))
    assert not repository.read(lambda reading: reading.is_host_device("e" * 64))


def test_verdicts_come_in_the_order_in_which_they_were_given(
    repository: SqliteRepository, table: Table, moment: datetime
) -> None:
    for digest in ("z", "a"):
        verdict = Verdict(
            table_id=table.id, decided_at=moment, decided_by="Mona", record="{}", digest=digest
        )
        repository.write(lambda writing, verdict=verdict: writing.add_verdict(verdict))

    assert [
        each.digest for each in repository.read(lambda reading: reading.verdicts(table.id))
    ] == [
        "z",
        "a",
    ]


def test_devices_come_in_the_order_in_which_they_joined(
    repository: SqliteRepository, table: Table, moment: datetime
) -> None:
    joinings = [
        Joining(table_id=table.id, seat_id=seat.id, grip=grip, secret_hash=secret, joined_at=moment)
        for seat, grip, secret in (
            (table.seats[1], 1, "z" * 64),
            (table.seats[0], 1, "y" * 64),
            (table.seats[1], 2, "x" * 64),
        )
    ]
    for joining in joinings:
        repository.write(lambda writing, joining=joining: writing.add_joining(joining))

    assert repository.read(lambda reading: reading.joinings(table.id)) == tuple(joinings)
    assert repository.read(lambda reading: reading.joining("x" * 64)) == joinings[2]


def test_the_latest_verdict_counts(
    repository: SqliteRepository, table: Table, moment: datetime
) -> None:
    first, second = (
        Verdict(table_id=table.id, decided_at=moment, decided_by=who, record="{}", digest="0" * 64)
        for who in ("Mona", "Ada")
    )
    repository.write(lambda writing: writing.add_verdict(first))
    repository.write(lambda writing: writing.add_verdict(second))

    assert repository.read(lambda reading: reading.verdict(table.id)) == second


def test_a_version_rises_with_whatever_is_added_to_its_table(
    repository: SqliteRepository,
    table: Table,
    make_entry: Callable[..., KeptEntry],
    moment: datetime,
) -> None:
    seat = table.seats[0].id
    adding: list[Callable[[WriteAccess], object]] = [
        lambda writing: writing.add_entry(make_entry()),
        lambda writing: writing.add_event(table.id, "poured", at=moment),
        lambda writing: writing.add_joining(
            Joining(table_id=table.id, seat_id=seat, grip=1, secret_hash="s", joined_at=moment)
        ),
        lambda writing: writing.add_set_aside(
            SetAside(
                table_id=table.id,
                seat_id=seat,
                body="{}",
                digest="d",
                rule="r",
                remedy="r",
                received_at=moment,
            )
        ),
    ]

    versions = [repository.read(lambda reading: reading.version(table.id))]
    for add in adding:
        repository.write(add)
        versions.append(repository.read(lambda reading: reading.version(table.id)))

    assert versions == sorted(set(versions))
    assert repository.read(lambda reading: reading.version("x")) == (0, 0, 0, 0)
