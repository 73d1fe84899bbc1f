"""The disk is full, the file is locked, the clock jumps: the lab says so, and loses nothing."""

import json
import subprocess
import sys
from collections import Counter
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from at_the_door import host_client, phone_client
from at_the_table import (
    COFFEES,
    opened_lab,
    planned,
    said,
    whole_sheet,
)
from fastapi.testclient import TestClient
from reckoning import kept_in

from crustbreak.domain.tables.state import TableState
from crustbreak.ports.lab import Lab
from crustbreak.services.devices.codes import give_pass
from crustbreak.services.devices.join import Seated, become_helper, take_seat
from crustbreak.services.results.decide import decide
from crustbreak.services.tables.actions import look_at, uncover
from crustbreak.services.tables.views import view_table
from crustbreak.store.connections import sqlite_module
from crustbreak.store.repository import BOOKS_FILE

FULL_DISK = Path(__file__).with_name("full_disk.py")
SECRET, HELPER = "a" * 32, "b" * 32


def signed(secret: str = SECRET) -> dict[str, str]:
    return {"Authorization": f"Bearer {secret}"}


def words(answer: Any) -> Counter[str]:
    return Counter(each["word"] for each in answer["answers"])


def assert_told(told: Any) -> None:
    assert set(told["error"]) == {"message", "hint", "problems"}
    assert told["error"]["message"].startswith("This could not be kept: ")
    assert told["error"]["hint"].endswith("What was kept before is safe.")


def test_a_full_disk_is_told_and_the_same_batch_is_kept_once_later(tmp_path: Path) -> None:
    folder = tmp_path / "lab"

    run = subprocess.run(
        [sys.executable, FULL_DISK, folder], capture_output=True, text=True, check=True, timeout=60
    )

    first, refused, pages, again, later = json.loads(run.stdout)
    assert (first["status"], words(first["told"])) == (200, {"kept": 20})
    assert refused["status"] == 503
    assert_told(refused["told"])
    assert pages == [200, 200, 200]
    assert again == first
    assert (later["status"], words(later["told"])) == (200, {"kept": 20})
    assert sorted(entry["no"] for entry in kept_in(folder)) == list(range(1, 41))


def test_a_file_locked_by_another_program_is_told_and_loses_nothing(tmp_path: Path) -> None:
    folder = tmp_path / "lab"
    with opened_lab(folder) as (lab, _), phone_client(lab) as phones:
        at = taster_of(lab)
        batch = {"entries": whole_sheet(lab, at)[:20]}

        with closing(sqlite_module().connect(folder / BOOKS_FILE, isolation_level=None)) as other:
            other.execute("BEGIN EXCLUSIVE")
            refused = phones.post("/entries", json=batch, headers=signed())
            looked = phones.get("/state", headers=signed())
        kept = phones.post("/entries", json=batch, headers=signed())

    assert (refused.status_code, looked.status_code) == (503, 200)
    assert_told(refused.json())
    assert "locked" in refused.json()["error"]["message"]
    assert "Close any other program" in refused.json()["error"]["hint"]
    assert words(kept.json()) == {"kept": 20}
    assert sorted(entry["no"] for entry in kept_in(folder)) == list(range(1, 21))


def taster_of(lab: Lab) -> Seated:
    """Give the seat of a phone at a table that is planned and no more."""
    table = planned(lab)
    token = view_table(lab, table.id).invitation
    return take_seat(lab, token, table.seats[0].id, SECRET)


def look_everywhere(host: TestClient, phones: TestClient, table_id: str) -> None:
    for path in ("/", f"/tables/{table_id}", f"/tables/{table_id}/live"):
        assert host.get(path).status_code == 200, path
    for path in ("/", "/sheet", "/state"):
        assert phones.get(path, headers=signed()).status_code == 200, path
    assert phones.get("/help", headers=signed(HELPER)).status_code == 200


def taste(folder: Path, jumps_s: tuple[float, float, float, float]) -> tuple[TableState, int]:
    """Taste a table while the lab's clock jumps; give how it ends, and how many words came."""
    with opened_lab(folder) as (lab, clock), host_client(lab) as host, phone_client(lab) as phones:
        at = taster_of(lab)
        become_helper(lab, give_pass(lab, at.table, None).token, HELPER)
        marks = whole_sheet(lab, at)
        changed = [{**said(at, len(marks) + 1, "mark"), **cell(marks[0]), "value": 6.5}]
        rest = [said(at, len(marks) + 2, "hand_in")]
        rest += [
            said(at, len(marks) + 3 + nth, "call", place=place.id, value="buy")
            for nth, place in enumerate(at.table.places)
        ]
        # The later mark of a cell comes first: its number counts, and no clock.
        acts = (["set", "pour"], changed, ["break"], [*marks, *rest])
        for act, jump_s in zip(acts, jumps_s, strict=True):
            do(host, phones, at, act)
            clock.pass_seconds(jump_s)
            look_everywhere(host, phones, at.table.id)
        end(host, lab, at)
        return look_at(lab, at.table.id)[1], len(marks) + len(changed) + len(rest)


def cell(mark: dict[str, Any]) -> dict[str, Any]:
    return {name: mark[name] for name in ("place", "line", "round", "cup")}


def do(host: TestClient, phones: TestClient, at: Seated, act: list[Any]) -> None:
    for tap in act if isinstance(act[0], str) else ():
        answer = host.post(f"/tables/{at.table.id}/taps/{tap}")
        assert answer.status_code == 303, answer.text
    said_now = [] if isinstance(act[0], str) else act
    for first in range(0, len(said_now), 100):
        batch = {"entries": said_now[first : first + 100]}
        answer = phones.post("/entries", json=batch, headers=signed())
        assert set(words(answer.json())) == {"kept"}


def end(host: TestClient, lab: Lab, at: Seated) -> None:
    uncover(lab, at.table)
    decide(lab, at.table, dict.fromkeys(COFFEES, "buy"), reason="Clean.", decided_by="Piet")
    memo = host.get(f"/tables/{at.table.id}/memo")
    assert memo.status_code == 200
    assert all(coffee in memo.text for coffee in COFFEES)


@pytest.mark.parametrize(
    "jumps_s", [(-3600, 86_400, 0, 0), (86_400, -3600, -86_400, 60), (-3600, -3600, 86_400, -60)]
)
def test_a_clock_that_jumps_changes_no_mark_and_stops_no_page(
    tmp_path: Path, jumps_s: tuple[float, float, float, float]
) -> None:
    steady, count = taste(tmp_path / "steady", (60, 60, 60, 60))

    jumped, _ = taste(tmp_path / "jumped", jumps_s)

    assert jumped.seats == steady.seats
    assert (jumped.flight, jumped.problems) == ("decided", ())
    assert len(kept_in(tmp_path / "jumped")) == count
    assert 6.5 in {mark.value for seat in jumped.seats.values() for mark in seat.marks}
