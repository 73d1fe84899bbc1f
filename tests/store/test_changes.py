from collections.abc import Callable
from datetime import datetime, timedelta, timezone
from typing import Any

import pytest

from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.tables import Place, Seat, Table
from crustbreak.domain.records.verdicts import Verdict
from crustbreak.ports.repository import Joining, KeptEntry, SetAside, WriteAccess
from crustbreak.store.changes import Changes
from crustbreak.store.errors import Clash
from crustbreak.store.repository import SqliteRepository

HOSTILE = [
    "Robert'); DROP TABLE entries;--",
    "Ethiopia · Gedeb, größer als 2 %",
    "ゲイシャ",
    "👩🏽‍🌾 Nariño",
    "شكران",
    "a\x00b",
    "e\u0301 and \u00e9",
    '"; <script>alert(1)</script>',
    "%s %(name)s :name ?",
    " leading, trailing ",
    "",
]


def test_the_books_are_added_to_through_one_class(repository: SqliteRepository) -> None:
    assert repository.write(type) is Changes


def test_any_name_comes_back_as_typed(
    repository: SqliteRepository, make_table: Callable[..., Table]
) -> None:
    seats = tuple(Seat(id=f"seat-{place}", taster=name) for place, name in enumerate(HOSTILE))
    coffees = tuple(Coffee(id=f"coffee-{place}", name=name) for place, name in enumerate(HOSTILE))
    table = make_table(occasion="".join(HOSTILE), setter=HOSTILE[0], seats=seats)

    repository.write(lambda writing: writing.add_table(table, coffees, token="token"))

    assert repository.read(lambda reading: reading.table(table.id)) == table
    assert repository.read(lambda reading: reading.coffees(table.id)) == coffees


def test_any_value_comes_back_as_given(
    repository: SqliteRepository, table: Table, make_entry: Callable[..., KeptEntry]
) -> None:
    values = [*HOSTILE, "\ud83c", None, 8, 7.75, 0.1 + 0.2, 1e300]
    given = tuple(make_entry(no, value=value) for no, value in enumerate(values, start=1))

    for kept in given:
        repository.write(lambda writing, kept=kept: writing.add_entry(kept))

    assert repository.read(lambda reading: reading.entries(table.id)) == given


def test_a_text_that_is_none_holds_up_nobody(
    repository: SqliteRepository, table: Table, make_entry: Callable[..., KeptEntry]
) -> None:
    repository.write(lambda writing: writing.add_entry(make_entry(kind="hand_in", line="\ud800")))

    (kept,) = repository.read(lambda reading: reading.entries(table.id))
    assert kept.entry.line == "\\ud800"


def test_a_phone_with_a_lost_clock_is_taken_down(
    repository: SqliteRepository,
    table: Table,
    make_entry: Callable[..., KeptEntry],
    moment: datetime,
) -> None:
    kept = make_entry(device_time=moment.replace(year=1))

    repository.write(lambda writing: writing.add_entry(kept))

    assert repository.read(lambda reading: reading.entries(table.id)) == (kept,)


def test_the_largest_number_a_phone_may_send_is_taken_down(
    repository: SqliteRepository, table: Table, make_entry: Callable[..., KeptEntry]
) -> None:
    kept = make_entry(2**53 - 1, grip=2**53 - 1, cup=2**53 - 1)

    repository.write(lambda writing: writing.add_entry(kept))

    assert repository.read(lambda reading: reading.entries(table.id)) == (kept,)


def test_events_are_numbered_within_their_table(
    repository: SqliteRepository, table: Table, make_table: Callable[..., Table], moment: datetime
) -> None:
    repository.write(lambda writing: writing.add_table(make_table("other"), (), token="token-2"))

    def work(writing: WriteAccess) -> list[int]:
        return [
            writing.add_event(table_id, kind, at=moment).number
            for table_id, kind in (
                (table.id, "table set"),
                ("other", "table set"),
                (table.id, "poured"),
                (table.id, "broken"),
                ("other", "abandoned"),
            )
        ]

    assert repository.write(work) == [1, 1, 2, 3, 2]
    kinds = [event.kind for event in repository.read(lambda reading: reading.events(table.id))]
    assert kinds == ["table set", "poured", "broken"]


def test_an_event_is_given_as_it_will_be_read(
    repository: SqliteRepository, table: Table, moment: datetime
) -> None:
    at = moment.astimezone(timezone(timedelta(hours=2))) + timedelta(microseconds=999)

    given = repository.write(
        lambda writing: writing.add_event(table.id, "poured", at=at, detail="é")
    )

    assert repository.read(lambda reading: reading.events(table.id)) == (given,)
    assert given.at == moment


def test_what_is_sent_twice_from_one_seat_is_set_aside_once(
    repository: SqliteRepository, table: Table, moment: datetime
) -> None:
    def sent(seat: Seat, digest: str) -> SetAside:
        return SetAside(
            table_id=table.id,
            seat_id=seat.id,
            body='{"value": "\\ud800 ☕"}',
            digest=digest,
            rule="value: one of the words; found \ud800",
            remedy="Give it once more.",
            received_at=moment,
        )

    every = [sent(table.seats[0], "a"), sent(table.seats[1], "a"), sent(table.seats[0], "b")]
    for each in (*every, every[0]):
        repository.write(lambda writing, each=each: writing.add_set_aside(each))

    kept = repository.read(lambda reading: reading.set_asides(table.id))
    assert [(each.seat_id, each.digest) for each in kept] == [
        (each.seat_id, each.digest) for each in every
    ]
    assert {each.body for each in kept} == {'{"value": "\\ud800 ☕"}'}


def joined(seat_id: str, grip: int, secret: str, *, at: Any) -> Joining:
    return Joining(table_id="table-1", seat_id=seat_id, grip=grip, secret_hash=secret, joined_at=at)


def test_what_is_there_is_not_added_again(
    repository: SqliteRepository,
    table: Table,
    make_entry: Callable[..., KeptEntry],
    moment: datetime,
) -> None:
    seat = table.seats[0].id
    repository.write(lambda writing: writing.add_joining(joined(seat, 1, "first", at=moment)))

    for work in (
        lambda writing: writing.add_table(table, (), token="token-2"),
        lambda writing: writing.add_joining(joined(seat, 1, "second", at=moment)),
        lambda writing: writing.add_joining(joined(seat, 2, "first", at=moment)),
    ):
        with pytest.raises(Clash, match="UNIQUE") as refused:
            repository.write(work)
        assert refused.value.hint


def test_an_entry_that_is_there_is_given_and_not_added_again(
    repository: SqliteRepository, table: Table, make_entry: Callable[..., KeptEntry]
) -> None:
    def add(kept: KeptEntry) -> KeptEntry | None:
        return repository.write(lambda writing: writing.add_entry(kept))

    first, second = make_entry(7, id="f" * 32), make_entry(8, id="e" * 32)

    assert add(first) is None
    assert add(make_entry(9, id="f" * 32)).entry == first.entry
    assert add(make_entry(7, id="d" * 32)).entry == first.entry
    assert add(make_entry(7, grip=2, id="c" * 32)) is None
    assert add(second) is None
    # The id says more than the number.
    assert add(make_entry(7, id="e" * 32)).entry == second.entry
    assert len(repository.read(lambda reading: reading.entries(table.id))) == 3


def test_nothing_is_added_to_what_is_not_there(
    repository: SqliteRepository,
    table: Table,
    make_table: Callable[..., Table],
    make_entry: Callable[..., KeptEntry],
    moment: datetime,
) -> None:
    repository.write(lambda writing: writing.add_table(make_table("other"), (), token="token-2"))
    verdict = Verdict(
        table_id="nowhere", decided_at=moment, decided_by="Mona", record="{}", digest="0"
    )

    for work in (
        lambda writing: writing.add_event("nowhere", "poured", at=moment),
        lambda writing: writing.add_verdict(verdict),
        lambda writing: writing.add_joining(joined("no seat", 1, "secret", at=moment)),
        # A seat of another table.
        lambda writing: writing.add_entry(make_entry(seat_id="other-seat-1")),
    ):
        with pytest.raises(Clash, match="FOREIGN KEY"):
            repository.write(work)


def test_a_table_that_fails_half_way_leaves_nothing(
    repository: SqliteRepository, make_table: Callable[..., Table]
) -> None:
    good = make_table()
    twice = Place(id="the same", code="111", cups=5)
    flight = good.flights[0]
    bad = make_table(flights=(type(flight)(id=flight.id, places=(twice, twice)),))

    with pytest.raises(Clash):
        repository.write(lambda writing: writing.add_table(bad, (), token="token"))

    assert repository.read(lambda reading: reading.tables()) == ()
    repository.write(lambda writing: writing.add_table(good, (), token="token"))
