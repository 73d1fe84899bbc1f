"""Marks a second, from the phone's side of the door: the lab beside plain SQLite on the same disk.

Fifty phones at five tables say one mark at a time and wait for the answer. *A commit each* is the
bare driver in fifty connections, the rows and nothing else. *Services* is all that the lab does
with a mark, in one process. *Over HTTP* is the lab as it is served, asked by fifty connections of
another process; then each phone sends ten marks at once, as it does after a gap in the Wi-Fi.
*A door that keeps nothing* is the same server and framework with a handler that only answers:
nothing served so can be faster. *At a taster's pace* is what a full room asks of the lab: each of
the fifty marks once a second.

Run it by hand: python benchmarks/entries.py [FOLDER] [--flush-ms 5]. It takes about forty seconds.
With --flush-ms every commit of either side takes that much longer: a disk of a server under test
may flush in a tenth of a millisecond, a laptop's takes one to ten.
"""

import json
import os
import re
import selectors
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from http.client import HTTPConnection
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Thread
from time import perf_counter, sleep
from typing import Any

from group_commit import PHONES, RUN_S, Write, bare, plan, run_phones, say

from crustbreak.domain.planning.plan_request import PlanDraft
from crustbreak.ports.lab import Lab
from crustbreak.services.devices.join import Seated, take_seat
from crustbreak.services.devices.submissions import receive_entries
from crustbreak.services.planning.plan import plan_table
from crustbreak.services.tables.actions import pour_first, table_set
from crustbreak.wiring import open_lab

SEATS = 10
COFFEES = ("One", "Two", "Three")
PACED_TIMES = 10
# The first requests of a phone open its connection and find its seat: not what is asked here.
WARM_S = 0.5
# Requests that a phone has ready; written while it runs, they would cost the lab's own time.
AHEAD = 200
LENGTH = re.compile(rb"content-length: *([0-9]+)", re.IGNORECASE)
SLOW_DISK = Path(__file__).parent / "slow_disk"


def seats_of(lab: Lab) -> Iterator[tuple[Seated, str]]:
    """Plan tables for all phones, pour, and let each take its seat; gives its secret, too."""
    for number in range(PHONES // SEATS):
        tasters = tuple(f"Taster {number} {seat}" for seat in range(SEATS))
        draft = PlanDraft(
            occasion="", coffees=COFFEES, tasters=tasters, cut_off=80.0, setter="Piet"
        )
        table = plan_table(lab, "choose", draft)
        table_set(lab, table)
        pour_first(lab, table)
        token = lab.repository.read(lambda records, at=table.id: records.invitation(at))
        for seat in table.seats:
            secret = sha256(seat.id.encode()).hexdigest()[:32]
            yield take_seat(lab, token, seat.id, secret), secret


def mark(at: dict[str, str], no: int) -> dict[str, Any]:
    """Give one mark as a phone sends it."""
    return {
        "id": sha256(f"{at['seat']} {no}".encode()).hexdigest()[:32],
        "grip": 1,
        "no": no,
        "kind": "mark",
        "sheet": "ten_line/1",
        "place": at["place"],
        "cup": None,
        "line": "flavor",
        "round": "hot",
        "value": 7.75,
        "device_time": "2030-01-31T09:30:00.000Z",
    }


def facts(at: Seated) -> dict[str, str]:
    """Give what a mark needs to know of its seat."""
    return {"seat": at.seat.id, "place": at.table.places[0].id}


def through_the_services(folder: Path) -> list[float]:
    with open_lab(folder, name="Benchmark") as lab:

        def write_of(at: Seated) -> Write:
            return lambda no: receive_entries(lab, at, [mark(facts(at), no)])

        return run_phones([write_of(at) for at, _ in seats_of(lab)])


def over_http(folder: Path, *, at_once: int = 1, pace_s: float = 0.0) -> list[float]:
    phones = phones_of(folder)
    with served(folder) as port:
        waits_s = asked(port, phones, at_once=at_once, pace_s=pace_s)
    return sorted(wait for wait in waits_s for _ in range(at_once))


def phones_of(folder: Path) -> list[dict[str, str]]:
    with open_lab(folder, name="Benchmark") as lab:
        return [{**facts(at), "secret": secret} for at, secret in seats_of(lab)]


def asked(
    port: int, phones: list[dict[str, str]], *, at_once: int = 1, pace_s: float = 0.0
) -> list[float]:
    asking = [sys.executable, __file__, "--ask", str(port), str(at_once), str(pace_s)]
    told = subprocess.run(
        asking, input=json.dumps(phones).encode(), stdout=subprocess.PIPE, check=True
    )
    waits_s: list[float] = json.loads(told.stdout)
    return waits_s


def keeping_nothing(folder: Path) -> list[float]:
    phones = phones_of(folder)
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    with subprocess.Popen([sys.executable, __file__, "--keep-nothing", str(port)]) as server:
        sleep(3)
        try:
            return sorted(asked(port, phones))
        finally:
            server.terminate()


def keep_nothing(port: int) -> None:
    """Serve a handler that answers as if every mark were kept; runs in a process of its own."""
    import uvicorn
    from fastapi import FastAPI
    from fastapi.responses import JSONResponse

    from crustbreak.web.phone.app import Batch

    app = FastAPI()

    @app.post("/entries")
    def entries(batch: Batch) -> JSONResponse:
        return JSONResponse({"answers": [{"word": "kept"} for _ in batch.entries]})

    uvicorn.run(app, host="127.0.0.1", port=port, log_level="error", access_log=False)


@contextmanager
def served(folder: Path) -> Iterator[int]:
    """Serve the lab of a folder by the real command."""
    sys.path.append(str(Path(__file__).parents[1] / "scripts"))
    from served_lab import ServedLab

    lab = ServedLab(folder)
    lab.start()
    try:
        yield lab.phone_port
    finally:
        lab.stop()


class Line:
    """One phone's connection: its requests are written beforehand, so that it costs little."""

    def __init__(self, port: int, at: dict[str, str], at_once: int) -> None:
        self.sock = socket.create_connection(("127.0.0.1", port), timeout=60)
        self.sock.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        self._requests = (request(port, at, no, at_once) for no in count())
        self._written = [next(self._requests) for _ in range(AHEAD)]
        self._came = b""

    def say(self) -> None:
        """Send the next request."""
        self._came = b""
        self.said_at = perf_counter()
        self.sock.sendall(self._written.pop(0) if self._written else next(self._requests))

    def is_answered(self) -> bool:
        """Take in what has come; tell whether the answer is whole."""
        self._came += self.sock.recv(65_536)
        head, found, body = self._came.partition(b"\r\n\r\n")
        length = LENGTH.search(head)
        if not found or length is None or len(body) < int(length[1]):
            return False
        if {answer["word"] for answer in json.loads(body)["answers"]} != {"kept"}:
            sys.exit(f"not kept: {body.decode()}")
        return True


def request(port: int, at: dict[str, str], no: int, at_once: int) -> bytes:
    marks = [mark(at, no * at_once + nth) for nth in range(1, at_once + 1)]
    body = json.dumps({"entries": marks}).encode()
    lines = (
        "POST /entries HTTP/1.1",
        f"Host: 127.0.0.1:{port}",
        f"Authorization: Bearer {at['secret']}",
        "Content-Type: application/json",
        f"Content-Length: {len(body)}",
    )
    return "\r\n".join(lines).encode() + b"\r\n\r\n" + body


def ask(port: int, phones: list[dict[str, str]], at_once: int) -> list[float]:
    """Be fifty phones that wait for nothing but the answer; runs in a process of its own."""
    waits_s: list[float] = []
    with selectors.DefaultSelector() as ready:
        for line in [Line(port, at, at_once) for at in phones]:
            ready.register(line.sock, selectors.EVENT_READ, line)
            line.say()
        begin = perf_counter() + WARM_S
        until = begin + RUN_S
        while ready.get_map():
            for key, _ in ready.select(60):
                if not key.data.is_answered():
                    continue
                if key.data.said_at >= begin:
                    waits_s.append(perf_counter() - key.data.said_at)
                if perf_counter() < until:
                    key.data.say()
                else:
                    ready.unregister(key.fileobj)
    return waits_s


def ask_paced(port: int, phones: list[dict[str, str]], pace_s: float) -> list[float]:
    """Be fifty phones at a taster's pace; runs in a process of its own."""

    def write_of(at: dict[str, str]) -> Write:
        line = HTTPConnection("127.0.0.1", port, timeout=60)
        headers = {
            "Authorization": f"Bearer {at['secret']}",
            "Content-Type": "application/json",
        }

        def write(no: int) -> None:
            line.request("POST", "/entries", json.dumps({"entries": [mark(at, no)]}), headers)
            answers = json.loads(line.getresponse().read())["answers"]
            if {answer["word"] for answer in answers} != {"kept"}:
                sys.exit(f"not kept: {answers}")

        return write

    return run_paced([write_of(at) for at in phones], pace_s)


def run_paced(writes: list[Write], pace_s: float) -> list[float]:
    """Let each write once in a while, one after another; give how long each write took, s."""
    waits_s: list[list[float]] = [[] for _ in writes]
    begin = perf_counter()

    def phone(number: int) -> None:
        for no in range(1, PACED_TIMES + 1):
            due = begin + pace_s * (no - 1 + number / len(writes))
            sleep(max(due - perf_counter(), 0.0))
            start = perf_counter()
            writes[number](no)
            waits_s[number].append(perf_counter() - start)

    threads = [Thread(target=phone, args=(number,)) for number in range(len(writes))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return sorted(wait for each in waits_s for wait in each)


def main(parent: str | None) -> None:
    ways = {
        "a commit each": lambda folder: (plan(folder), bare(folder, PHONES))[1],
        "services": through_the_services,
        "over HTTP": lambda folder: over_http(folder, at_once=1),
        "over HTTP, ten at once": lambda folder: over_http(folder, at_once=10),
        "a door that keeps nothing": keeping_nothing,
        "at a taster's pace": lambda folder: over_http(folder, pace_s=1.0),
    }
    waits_s: dict[str, list[float]] = {}
    for name, way in ways.items():
        with TemporaryDirectory(dir=parent) as folder:
            waits_s[name] = way(Path(folder) / "lab" if name != "a commit each" else Path(folder))
    for name, each in waits_s.items():
        if name == "at a taster's pace":
            # Each waits for its turn: how many come is given, and not found.
            middle, tail = (each[int(len(each) * part)] * 1000 for part in (0.5, 0.99))
            sys.stdout.write(
                f"{name}: half within {middle:,.1f} ms, 99 in 100 within {tail:,.1f} ms\n"
            )
        else:
            say(name, each, waits_s["a commit each"])


if __name__ == "__main__":
    if sys.argv[1:2] == ["--ask"]:
        port, at_once, pace_s = int(sys.argv[2]), int(sys.argv[3]), float(sys.argv[4])
        phones = json.loads(sys.stdin.read())
        waits_s = ask_paced(port, phones, pace_s) if pace_s else ask(port, phones, at_once)
        sys.stdout.write(json.dumps(waits_s))
    elif sys.argv[1:2] == ["--keep-nothing"]:
        keep_nothing(int(sys.argv[2]))
    elif "--flush-ms" in sys.argv:
        at = sys.argv.index("--flush-ms")
        slowly = {"FLUSH_MS": sys.argv[at + 1], "PYTHONPATH": str(SLOW_DISK)}
        rest = sys.argv[1:at] + sys.argv[at + 2 :]
        os.execve(sys.executable, [sys.executable, __file__, *rest], {**os.environ, **slowly})
    else:
        main(sys.argv[1] if len(sys.argv) > 1 else None)
