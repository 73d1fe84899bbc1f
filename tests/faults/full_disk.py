"""A phone's marks while the disk is full, and after there is room again; tells how it went.

Run by a test, since the limit holds for a whole process: python full_disk.py FOLDER
"""

import json
import resource
import sys
from pathlib import Path
from typing import Any

sys.path.append(str(Path(__file__).parents[1] / "acting"))

from at_the_door import host_client, phone_client
from at_the_table import opened_lab, said, under_way
from fastapi.testclient import TestClient

from crustbreak.ports.lab import Lab
from crustbreak.services.devices.join import Seated, take_seat
from crustbreak.services.tables.views import view_table

SECRET = "a" * 32
SIGNED = {"Authorization": f"Bearer {SECRET}"}


def limit_files(size: int) -> None:
    hard = resource.getrlimit(resource.RLIMIT_FSIZE)[1]
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))


def sit(lab: Lab) -> Seated:
    table = under_way(lab)
    token = view_table(lab, table.id).invitation
    return take_seat(lab, token, table.seats[0].id, SECRET)


def batch(at: Seated, first: int, *, sign: str) -> list[dict[str, Any]]:
    """Give twenty long notes, too much for what is left of the disk."""
    place = at.table.places[0].id
    what = {"place": place, "line": "note", "round": "hot"}
    return [said(at, no, "mark", **what, value=sign * 4000) for no in range(first, first + 20)]


def send(phones: TestClient, entries: list[dict[str, Any]]) -> dict[str, Any]:
    answer = phones.post("/entries", json={"entries": entries}, headers=SIGNED)
    return {"status": answer.status_code, "told": answer.json()}


def main(folder: Path) -> None:
    steps: list[Any] = []
    with opened_lab(folder) as (lab, _), phone_client(lab) as phones, host_client(lab) as host:
        at = sit(lab)
        steps.append(send(phones, batch(at, 1, sign="a")))
        limit_files((folder / "lab.db-wal").stat().st_size + 6_000)
        steps.append(send(phones, batch(at, 21, sign="b")))
        pages = (phones.get("/state", headers=SIGNED), host.get("/"), phones.get("/"))
        steps.append([page.status_code for page in pages])
        limit_files(resource.RLIM_INFINITY)
        # The answers of the first batch may have been lost, too: both are sent again.
        steps.append(send(phones, batch(at, 1, sign="a")))
        steps.append(send(phones, batch(at, 21, sign="b")))
    sys.stdout.write(json.dumps(steps))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
