"""Fifty phones, and the real lab killed again and again at a moment that nobody chose."""

from collections.abc import Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from random import Random
from threading import Event

import pytest
from phones import Phone, Tally, Waiting, cells, fitting, phones_of, tables_in
from reckoning import faults_between, kept_in, set_aside_in

from served_lab import ServedLab

TABLES = tuple(tuple(f"Taster {table}{seat}" for seat in range(10)) for table in range(5))
SEED = 2031


def taste(phone: Phone, at: Waiting, seat_id: str, over: Event) -> None:
    """Sit down, then mark one cell after the other, over and over, until told to stop."""
    phone.sit(at.token, seat_id)
    open_cells = cells(at.sheet, at.table)
    while not over.is_set():
        for _ in range(phone.chance.randint(1, 8)):
            cell = phone.chance.choice(open_cells)
            phone.say(at.sheet.ref, "mark", **cell, value=fitting(at.sheet, cell, phone.chance))
        phone.deliver()
        if phone.chance.random() < 0.1:
            send_again(phone)


def send_again(phone: Phone) -> None:
    """Send what was answered before, as a phone does that lost its notes of the answers."""
    answered = [entry for name, entry in phone.said.items() if name in phone.answers]
    again = phone.chance.sample(answered, min(len(answered), 5))
    phone.insist(lambda: phone.send(again))


@contextmanager
def tasting(phones: tuple[tuple[Phone, Waiting, str], ...]) -> Iterator[list[Future[None]]]:
    """Let all taste at once; at the end all stop talking and deliver what waits."""
    over = Event()
    with ThreadPoolExecutor(len(phones)) as pool:
        running = [pool.submit(taste, *each, over) for each in phones]
        try:
            yield running
        finally:
            over.set()
    for phone, _, _ in phones:
        phone.close()


def kill_under_load(tmp_path: Path, *, rounds: int, most: int) -> None:
    waiting = tables_in(tmp_path / "lab", *TABLES)
    lab, tally, chance = ServedLab(tmp_path / "lab"), Tally(), Random(SEED)
    host = lab.phones.removeprefix("http://")
    phones = phones_of(waiting, port=lab.phone_port, host=host, tally=tally)
    lab.start()
    try:
        with tasting(phones) as running:
            for _ in range(rounds):
                tally.await_more(chance.randint(1, most))
                lab.kill()
                lab.start()
            tally.await_more(most)
        for each in running:
            each.result()
    finally:
        lab.kill()

    devices = [phone for phone, _, _ in phones]
    kept = kept_in(tmp_path / "lab")
    assert all(not phone.waiting for phone in devices)
    assert sum(len(phone.said) for phone in devices) == len(kept) > rounds
    assert faults_between(devices, kept) == ()
    assert set_aside_in(tmp_path / "lab") == ()


def test_no_acknowledged_entry_is_lost_or_doubled_by_three_kills(tmp_path: Path) -> None:
    kill_under_load(tmp_path, rounds=3, most=100)


@pytest.mark.soak
def test_no_acknowledged_entry_is_lost_or_doubled_by_a_hundred_kills(tmp_path: Path) -> None:
    kill_under_load(tmp_path, rounds=100, most=200)
