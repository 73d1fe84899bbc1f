"""Phones without a browser: the queue's rules and nothing else, fast enough for fifty at once.

A phone says entries, numbered from 1, and sends them in that order, up to a hundred at a time,
one batch in flight, again and again until the lab answers for each entry. Whatever is not an
answer for an entry is no answer. It keeps every answer that it ever heard.
"""

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from http.client import HTTPConnection, HTTPException
from pathlib import Path
from random import Random
from threading import Condition, Event
from typing import Any

from at_the_table import opened_lab, under_way

from crustbreak.domain.records.tables import Place, Table
from crustbreak.domain.sheets.definition import Sheet
from crustbreak.services.tables.views import view_table

BATCH = 100
# As the page's own, but shorter: a test need not be as patient as a taster.
PATIENCE_S = 3.0
PAUSE_S = (0.05, 0.25)
GIVES_UP_S = 60.0

WORDS = {"kept", "kept late", "set aside"}

Said = dict[str, Any]


class NoAnswer(Exception):
    """Nothing came back that is an answer."""


class Tally:
    """Counts what all phones have heard, for whoever waits for the next so many."""

    def __init__(self) -> None:
        self.count = 0
        self._change = Condition()

    def add(self, count: int) -> None:
        with self._change:
            self.count += count
            self._change.notify_all()

    def await_more(self, count: int, *, within_s: float = GIVES_UP_S) -> None:
        """Wait until so many more were heard than by now."""
        with self._change:
            until = self.count + count
            assert self._change.wait_for(lambda: self.count >= until, within_s), "no answers come"


class Phone:
    """One device at one seat.

    said:     everything it said, by id, as sent.
    answers:  id to every answer it heard for that entry, in the order heard.
    """

    def __init__(self, port: int, *, host: str, name: str, tally: Tally | None = None) -> None:
        """Make a phone.

        Args:  port: where it sends to, on this machine. host: as whom it addresses the lab.
               name: what its secret, its ids and its chance follow from.
        """
        self.port, self.host = port, host
        self.chance = Random(name)
        self.secret = f"{self.chance.getrandbits(128):032x}"
        self.said: dict[str, Said] = {}
        self.answers: dict[str, list[Mapping[str, Any]]] = {}
        self.seat: Mapping[str, Any] = {}
        self._tally = tally or Tally()
        self._line: HTTPConnection | None = None
        self._pause = Event()

    def sit(self, token: str, seat_id: str) -> None:
        """Take a seat, and ask until the lab says that it is taken by this phone."""
        wish = {"token": token, "secret": self.secret}
        self.seat = self.insist(lambda: self._ask(f"/seats/{seat_id}", wish, holds="grip"))

    def say(self, sheet: str, kind: str, **what: Any) -> None:
        """Say one thing: it is on the phone, under the next number."""
        no = len(self.said) + 1
        entry = {
            "id": f"{self.chance.getrandbits(128):032x}",
            "grip": self.seat["grip"],
            "no": no,
            "kind": kind,
            "sheet": sheet,
            **dict.fromkeys(("place", "cup", "line", "round", "value")),
            "device_time": f"2031-03-04T09:{no // 60 % 60:02d}:{no % 60:02d}.000Z",
            **what,
        }
        self.said[entry["id"]] = entry

    @property
    def waiting(self) -> list[Said]:
        """What the lab has not answered for, in the order of its numbers."""
        return [entry for name, entry in self.said.items() if name not in self.answers]

    def send(self, entries: Sequence[Said]) -> None:
        """Send one batch once, and keep the answers; NoAnswer when none came."""
        self._hear(self._ask("/entries", {"entries": list(entries)}, holds="answers"))

    def deliver(self, *, at_once: int = 1) -> None:
        """Send all that waits until each of it has its answer.

        Args:  at_once: batches in flight. More than one breaks the rule that phones keep, and
                        the lab has to bear it.
        """
        while waiting := self.waiting:
            if at_once > 1:
                self._send_together(waiting, at_once)
            else:
                self.insist(lambda batch=waiting[:BATCH]: self.send(batch))

    def state(self) -> Mapping[str, Any]:
        """Ask how the table stands."""
        return self.insist(lambda: self._ask("/state", None, holds="flight"))

    def close(self) -> None:
        if self._line:
            self._line.close()
        self._line = None

    def _send_together(self, waiting: list[Said], at_once: int) -> None:
        size = min(BATCH, -(-len(waiting) // at_once))
        batches = [waiting[first : first + size] for first in range(0, len(waiting), size)]
        with ThreadPoolExecutor(at_once) as pool:
            for answered in [pool.submit(self._ask_anew, batch) for batch in batches]:
                try:
                    self._hear(answered.result())
                except NoAnswer:
                    self._wait()

    def _ask_anew(self, batch: list[Said]) -> Mapping[str, Any]:
        line = HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_S)
        try:
            return self._exchange(line, "/entries", {"entries": batch}, holds="answers")
        finally:
            line.close()

    def _hear(self, told: Mapping[str, Any]) -> None:
        heard = [each for each in told["answers"] if is_answer(each) and each["id"] in self.said]
        if not heard:
            raise NoAnswer
        for each in heard:
            self.answers.setdefault(each["id"], []).append(each)
        self._tally.add(len(heard))

    def insist(self, ask: Callable[[], Any]) -> Any:
        """Ask until there is an answer."""
        waited = 0.0
        while True:
            try:
                return ask()
            except NoAnswer:
                waited += self._wait()
                assert waited < GIVES_UP_S, "the lab never answered"

    def _wait(self) -> float:
        pause = self.chance.uniform(*PAUSE_S)
        self._pause.wait(pause)
        return pause

    def _ask(self, path: str, body: object, *, holds: str) -> Mapping[str, Any]:
        self._line = self._line or HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_S)
        try:
            return self._exchange(self._line, path, body, holds=holds)
        except NoAnswer:
            self.close()
            raise

    def _exchange(
        self, line: HTTPConnection, path: str, body: object, *, holds: str
    ) -> Mapping[str, Any]:
        headers = {"Host": self.host, "Authorization": f"Bearer {self.secret}"}
        headers["Content-Type"] = "application/json"
        method = "GET" if body is None else "POST"
        try:
            line.request(method, path, body and json.dumps(body).encode(), headers)
            answer = line.getresponse()
            told = json.loads(answer.read())
        except (OSError, HTTPException, ValueError) as error:
            raise NoAnswer from error
        if answer.status != 200 or not isinstance(told, dict) or holds not in told:
            raise NoAnswer
        return told


def is_answer(told: object) -> bool:
    """Tell whether this is the lab's word on one entry."""
    return isinstance(told, dict) and told.get("word") in WORDS and isinstance(told.get("id"), str)


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """A table that waits for phones: planned, poured and broken before the lab was served."""

    table: Table
    sheet: Sheet
    token: str


def tables_in(folder: Path, *tables: Sequence[str]) -> tuple[Waiting, ...]:
    """Prepare a table for each of these lists of tasters, in a lab that is not served now.

    Time and chance are the test's, so that the same call makes the same tables in every folder.
    """
    with opened_lab(folder) as (lab, _):
        waiting = [under_way(lab, tasters=tasters) for tasters in tables]
        return tuple(
            Waiting(
                table=table,
                sheet=lab.sheet(table.sheet),
                token=view_table(lab, table.id).invitation,
            )
            for table in waiting
        )


def phones_of(
    waiting: Iterable[Waiting], *, port: int, host: str, tally: Tally | None = None
) -> tuple[tuple[Phone, Waiting, str], ...]:
    """Give a phone for every seat, with its table and the seat; none sits yet."""
    return tuple(
        (Phone(port, host=host, name=f"{seat.taster} {each.table.id}", tally=tally), each, seat.id)
        for each in waiting
        for seat in each.table.seats
    )


def cells(sheet: Sheet, table: Table) -> list[dict[str, Any]]:
    """Give every cell that a taster fills, as the parts of an entry that name it."""
    return [
        {"place": place.id, "line": line.id, "round": line.round, "cup": cup}
        for place in table.places
        for line in sheet.scored
        for cup in _bowls(place, line.kind)
    ]


def _bowls(place: Place, kind: str) -> Iterable[int | None]:
    return range(1, place.cups + 1) if kind == "cups" else (None,)


def fitting(sheet: Sheet, cell: Mapping[str, Any], chance: Random) -> Any:
    """Give a value that this cell can take."""
    line = sheet.line(cell["line"])
    assert line is not None
    if line.kind == "cups":
        return chance.choice(line.options).id
    return line.least + line.step * chance.randrange(int((line.most - line.least) / line.step) + 1)
