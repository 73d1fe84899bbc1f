"""The same things said over a bad Wi-Fi and over a good one leave the same table."""

from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from random import Random

import pytest
from at_the_table import opened_lab
from bad_wifi import FAULTS, bad_wifi, cut, page
from phones import Phone, Waiting, cells, fitting, phones_of, tables_in
from reckoning import faults_between, kept_in, set_aside_in

from crustbreak.domain.tables.seats import SeatView
from crustbreak.domain.tables.state import TableState
from crustbreak.services.tables.state import snapshot_in
from served_lab import ServedLab, served_lab

TASTERS = ("Odile", "Anouk", "Bram", "Ines")
MARKS = 40

Placed = tuple[Phone, Waiting, str]


def taste(phone: Phone, at: Waiting, seat_id: str, *, at_once: int) -> None:
    """Mark cells, change some, hand in, call: in bits, each sent before the next is said."""
    phone.sit(at.token, seat_id)
    # What is said must be the same however often the way there made the phone wait.
    chance = Random(f"script {seat_id}")
    script = chance.sample(cells(at.sheet, at.table), MARKS)
    script += chance.sample(script, MARKS // 4)
    while script:
        size = chance.randint(1, 9)
        bit, script = script[:size], script[size:]
        for cell in bit:
            phone.say(at.sheet.ref, "mark", **cell, value=fitting(at.sheet, cell, chance))
        phone.deliver(at_once=at_once)
    phone.say(at.sheet.ref, "hand_in")
    for place in at.table.places:
        phone.say(at.sheet.ref, "call", place=place.id, value=chance.choice(("buy", "decline")))
    phone.deliver(at_once=at_once)


def taste_together(placed: Iterable[Placed], *, at_once: int) -> None:
    with ThreadPoolExecutor() as pool:
        for each in [pool.submit(taste, *one, at_once=at_once) for one in placed]:
            each.result()
    for phone, _, _ in placed:
        phone.close()


def phones_at(lab: ServedLab, waiting: Iterable[Waiting], port: int) -> tuple[Placed, ...]:
    return phones_of(waiting, port=port, host=lab.phones.removeprefix("http://"))


def states_in(folder: Path) -> tuple[TableState, ...]:
    with opened_lab(folder) as (lab, _):
        return tuple(
            lab.repository.read(lambda records, at=table: snapshot_in(lab, records, at))
            for table in lab.repository.read(lambda records: records.tables())
        )


def without_faults(folder: Path, tables: tuple[tuple[str, ...], ...]) -> tuple[TableState, ...]:
    waiting = tables_in(folder, *tables)
    with served_lab(folder) as lab:
        taste_together(phones_at(lab, waiting, lab.phone_port), at_once=1)
    return states_in(folder)


def said_of(seat: SeatView) -> tuple[object, ...]:
    return (frozenset(seat.marks), seat.calls, seat.state, seat.called, seat.late)


def compare(
    tmp_path: Path, tables: tuple[tuple[str, ...], ...], seeds: Iterable[str], *, at_once: int
) -> None:
    good = without_faults(tmp_path / "good", tables)
    assert {state.flight for state in good} == {"called"}
    for seed in seeds:
        folder = tmp_path / f"bad {seed}"
        waiting = tables_in(folder, *tables)
        with served_lab(folder) as lab, bad_wifi(lab.phone_port, seed=seed) as wifi:
            placed = phones_at(lab, waiting, wifi.port)
            taste_together(placed, at_once=at_once)
        bad, kept = states_in(folder), kept_in(folder)

        phones = [phone for phone, _, _ in placed]
        assert faults_between(phones, kept) == (), seed
        assert len(kept) == sum(len(phone.said) for phone in phones), seed
        assert set_aside_in(folder) == (), seed
        assert {*FAULTS, "passed"} == set(wifi.met), seed
        for one, other in zip(good, bad, strict=True):
            assert one.flight == other.flight, seed
            assert {name: said_of(seat) for name, seat in one.seats.items()} == {
                name: said_of(seat) for name, seat in other.seats.items()
            }, seed


@pytest.mark.parametrize("at_once", [1, 3])
def test_a_bad_wifi_changes_nothing_of_a_table(tmp_path: Path, at_once: int) -> None:
    compare(tmp_path, (TASTERS,), ("2031",), at_once=at_once)


@pytest.mark.soak
@pytest.mark.parametrize("at_once", [1, 3])
def test_ten_bad_wifis_change_nothing_of_three_tables(tmp_path: Path, at_once: int) -> None:
    tables = tuple(tuple(f"{name} {table}" for name in TASTERS) for table in range(3))

    compare(tmp_path, tables, tuple(str(seed) for seed in range(10)), at_once=at_once)


def test_an_answer_is_cut_somewhere_and_never_left_whole() -> None:
    answer = page("200 OK", b"{}")

    lengths = {len(cut(answer, Random(seed))) for seed in range(200)}

    assert min(lengths) >= 1
    assert max(lengths) < len(answer)
    assert len(lengths) > 20
