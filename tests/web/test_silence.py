"""Nothing with a coffee's name crosses the network before the uncovering.

One script is played with the same chance and the same clock in labs that differ in nothing but
what the coffees are called. Whatever the phone app sends until the uncovering has to be the same to
the byte: then no header, length, order or message can depend on a name.
"""

import asyncio
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import pytest
from at_the_door import PHONE_APP, SETTINGS, host_client
from at_the_table import LoadedDice, StandingClock, read_numbers, said, whole_sheet
from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse
from fastapi.testclient import TestClient
from on_the_wire import Sent, Wire, differences, never_answered
from starlette.routing import Mount, Route
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from crustbreak.core.errors import NotThere
from crustbreak.domain.planning.plan_request import PlanDraft
from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import ReadAccess
from crustbreak.services.devices.codes import give_pass
from crustbreak.services.devices.join import Seated
from crustbreak.services.planning.plan import plan_table
from crustbreak.services.tables.seats import leave_out, refuse_device
from crustbreak.services.tables.views import view_table
from crustbreak.web.http.guards import BODY_LIMIT
from crustbreak.web.http.pages import STATIC
from crustbreak.web.phone.app import phone_app
from crustbreak.wiring import open_lab

# Very short, very long, odd; no two alike in length, first sign or place in the alphabet.
NAMES = (
    "Ox",
    "Finca Ñandú № 7 <b>& “Söhne”</b>, lot 23/4, 1.900 m, Øst'fold \\u0041 %2e",
    "山の豆 🫘",
)
# It stands on either table under the same name, so that its place tells nothing.
CONTROL = "Old Post"
EXCHANGED = (NAMES[1], NAMES[2], NAMES[0])
OTHERS = ("Zwartberg ''; --", "é", "A" * 80)

ODILE, ANOUK, SPARE, KETTLE, STRANGER = ("0" * 32, "a" * 32, "b" * 32, "c" * 32, "d" * 32)
DEVICES = ("", ODILE, ANOUK, SPARE, KETTLE, STRANGER)
METHODS = ("GET", "HEAD", "POST", "PUT", "DELETE", "OPTIONS")

Build = Callable[[Lab], FastAPI]


def plain_phone_app(lab: Lab) -> FastAPI:
    return phone_app(lab, SETTINGS)


@dataclass(slots=True, kw_only=True)
class Told:
    """All that was sent: the phone app's answers before and after the uncovering.

    The host's pages.
    """

    before: tuple[Sent, ...] = ()
    after: tuple[Sent, ...] = ()
    pages: list[str] = field(default_factory=list)
    lives: list[str] = field(default_factory=list)
    routes: tuple[Any, ...] = ()


@dataclass(slots=True, kw_only=True)
class Room:
    """A lab that is open, its floor on the wire and its host at the laptop.

    devices:  who asks for everything, now and then; a leak that was planted needs not all of them.
    """

    lab: Lab
    clock: StandingClock
    wire: Wire
    host: TestClient
    told: Told
    devices: tuple[str, ...]

    def look(self, path: str, method: str = "GET", **what: Any) -> None:
        """Let the host open a page."""
        self.told.pages.append(self.host.request(method, path, **what).text)


def play(
    folder: Path,
    names: tuple[str, ...],
    build: Build = plain_phone_app,
    devices: tuple[str, ...] = DEVICES,
    *,
    numbered: bool = False,
) -> Told:
    """Play the whole script in a lab of its own."""
    told, sent = Told(), list[Sent]()
    clock, randomness = StandingClock(), LoadedDice()

    def live(packed: bool, act: Callable[[Room], Any]) -> None:
        with open_lab(folder, name="Test lab", clock=clock, randomness=randomness) as lab:
            app = build(lab)
            told.routes = tuple(app.routes)
            wire = Wire(app, sent, packed=packed)
            told.lives.append(lab.incarnation)
            with host_client(lab) as host:
                room = Room(lab=lab, clock=clock, wire=wire, host=host, told=told, devices=devices)
                asyncio.run(act(room))

    live(True, lambda room: _first_half(room, names, numbered=numbered))
    # The lab was closed, or died, in the middle of the tasting, and is opened again.
    live(False, _second_half)
    told.before = tuple(sent)
    live(True, _uncover)
    told.after = tuple(sent[len(told.before) :])
    return told


async def _first_half(room: Room, names: tuple[str, ...], *, numbered: bool) -> None:
    await _ask_everything(room)
    await _ask_for_files(room)
    room.look("/plan/choose", "POST", data={"coffees": names[0], "tasters": "Odile"})
    table = plan_table(
        room.lab,
        "choose",
        PlanDraft(
            occasion="Morning offers",
            coffees=names,
            tasters=("Odile", "Anouk", "Piet"),
            cut_off=84.0,
            setter="Mona",
            duplicate=True,
            controls=(CONTROL,),
            numbered=numbered,
        ),
    )
    await _sit_down(room, table)
    room.look(f"/tables/{table.id}/card", "POST")
    room.look(f"/tables/{table.id}/filling")
    await _ask_everything(room)
    room.look(f"/tables/{table.id}/taps/set", "POST")
    await _hand_over(room, table)
    await _pour(room, table)
    await _ask_in_every_way(room)
    await _wear_the_code_out(room, table)
    await _ask_wrongly(room, table)
    await _taste(room, table)
    await _ask_everything(room)


async def _second_half(room: Room) -> None:
    table = room.lab.repository.read(lambda records: records.tables())[0]
    room.clock.pass_seconds(90)
    await _ask_everything(room)
    await _ask_for_files(room)
    room.look("/")
    room.look(f"/tables/{table.id}")
    room.look(f"/tables/{table.id}/card", "POST")
    await _ask_in_every_way(room)
    await _hand_in(room, table)
    leave_out(room.lab, table, table.seats[2].id, "He did not come.")
    room.look(f"/tables/{table.id}/live")
    await _ask_everything(room)
    if table.is_numbered:
        room.look(f"/tables/{table.id}/wash-up")
        read_numbers(room.lab, table, range(len(table.places)))
        await _ask_everything(room)
    # The host learns which code was the control and which two were one coffee, and nobody else.
    room.look(f"/tables/{table.id}/taps/show-double", "POST")
    room.look(f"/tables/{table.id}")
    at = Seated(table=table, seat=table.seats[0], grip=1)
    late = said(at, 990, "call", place=table.places[0].id, value="decline")
    await room.wire.ask("POST", "/entries", {"entries": [late]}, by=ODILE)
    await _ask_everything(room)


async def _uncover(room: Room) -> None:
    table = room.lab.repository.read(lambda records: records.tables())[0]
    room.look(f"/tables/{table.id}/taps/uncover", "POST")
    await _ask_everything(room)


async def _ask_everything(room: Room) -> None:
    """Go to every way in there is, as everybody; nothing is changed by it."""
    paths = [route.path for route in room.told.routes if isinstance(route, Route)]
    assert paths
    for path in [*paths, "/nowhere", "/tables", "/entries/1", "/static/nothing.js", "/static"]:
        for by in room.devices:
            await room.wire.ask("GET", path, by=by)


async def _ask_in_every_way(room: Room) -> None:
    """Ask with each method; what is sent is no wish, so that nothing is changed by it."""
    for route in room.told.routes:
        for method in METHODS:
            await room.wire.ask(method, route.path, {}, by=ODILE)
    await room.wire.ask("OPTIONS", "/entries", origin="http://192.168.1.99:8771")


async def _ask_for_files(room: Room) -> None:
    for path in sorted(each for each in STATIC.rglob("*") if each.is_file()):
        name = path.relative_to(STATIC).as_posix()
        sent = await room.wire.ask("GET", f"/static/{name}")
        # What only the laptop shows is no business of a phone.
        assert sent.status == (404 if name.startswith("host/") else 200)
    for way_out in (
        "phone/../../templates/host/key.html",
        "phone/../host/host.css",
        "shared/%2e%2e/%2e%2e/http/pages.py",
        "phone",
    ):
        await room.wire.ask("GET", f"/static/{way_out}")


async def _sit_down(room: Room, table: Table) -> None:
    seen, wire = view_table(room.lab, table.id), room.wire
    assert seen.code
    token = seen.invitation
    found = await wire.ask("POST", "/code", {"code": seen.code})
    assert found.json() == {"token": token}
    await wire.ask("POST", "/join", {"token": token})
    for nth, secret in ((0, ODILE), (0, ODILE), (0, STRANGER), (1, ODILE), (1, ANOUK)):
        seat = f"/seats/{table.seats[nth].id}"
        await wire.ask("POST", seat, {"token": token, "secret": secret})
    await wire.ask("POST", "/seats/none", {"token": token, "secret": STRANGER})
    await wire.ask("POST", "/join", {"token": token})
    await wire.ask("POST", "/join", {"token": "guess"})
    for by in (ODILE, ANOUK):
        tried = {"keeps": True, "streams": True, "round_trip_ms": 12.5, "offset_ms": -250.0}
        await wire.ask("POST", "/check", tried, by=by)
    room.look(f"/tables/{table.id}")


async def _hand_over(room: Room, table: Table) -> None:
    """Give a seat to a spare device, and a place beside the table to a helper."""
    wire, seat = room.wire, table.seats[1]
    leave = give_pass(room.lab, table, seat.id)
    await wire.ask("POST", "/code", {"code": leave.code})
    await wire.ask("POST", "/join", {"token": leave.token})
    for secret in (SPARE, SPARE, STRANGER):
        wish = {"token": leave.token, "secret": secret}
        await wire.ask("POST", f"/seats/{seat.id}", wish)
    await wire.ask("POST", "/code", {"code": leave.code})
    refuse_device(room.lab, table, seat.id, 1)
    await wire.ask("GET", "/state", by=ANOUK)
    leave = give_pass(room.lab, table, None)
    await wire.ask("POST", "/join", {"token": leave.token})
    for secret in (KETTLE, STRANGER):
        await wire.ask("POST", "/helper", {"token": leave.token, "secret": secret})
    # One that nobody uses in time.
    late = give_pass(room.lab, table, None)
    room.clock.pass_seconds(601)
    await wire.ask("POST", "/helper", {"token": late.token, "secret": STRANGER})
    room.look(f"/tables/{table.id}/live")


async def _pour(room: Room, table: Table) -> None:
    wire = room.wire
    async with wire.listening(ODILE) as parts, wire.listening(ODILE) as others:
        for each in (parts, parts, others, others):
            await asyncio.wait_for(each.get(), 10)
        refused = await wire.ask("GET", "/stream", by=ODILE)
        assert refused.status == 429
        await wire.ask("POST", "/entries", {"entries": [_tap(table, 1, "poured")]}, by=KETTLE)
        for each in (parts, others):
            await asyncio.wait_for(each.get(), 10)
    room.clock.pass_seconds(240)
    taps = [
        _tap(table, 2, "broken"),
        _tap(table, 2, "poured"),
        _tap(table, 3, "poured"),
        _tap(table, 4, "undone", "skimmed"),
        {**_tap(table, 5, "bowl poured"), "place": table.places[0].id, "cup": 3},
        {**_tap(table, 6, "dose weighed", "9.1"), "place": table.places[1].id, "cup": 1},
        {**_tap(table, 7, "bowl undone", "1.5"), "place": table.places[0].id, "cup": 3},
        {**_tap(table, 8, "bowl spilt"), "place": "elsewhere", "cup": 1},
        "nonsense",
    ]
    await wire.ask("POST", "/entries", {"entries": taps, "offset_ms": 40.0}, by=KETTLE)
    await wire.ask("GET", "/help", by=KETTLE)
    room.look(f"/tables/{table.id}/rehearsal")
    room.look(f"/tables/{table.id}/bowls/{table.places[0].id}/2/bowl-broken", "POST")
    room.look(f"/tables/{table.id}?bowl={table.places[0].id}.2")
    room.look(f"/tables/{table.id}/card", "POST")


def _tap(table: Table, no: int, kind: str, value: str | None = None) -> dict[str, Any]:
    at = Seated(table=table, seat=table.seats[0], grip=1)
    return {**said(at, no, kind, value=value), "id": f"{no:032x}", "sheet": ""}


async def _wear_the_code_out(room: Room, table: Table) -> None:
    code = view_table(room.lab, table.id).code
    leave = give_pass(room.lab, table, table.seats[2].id)
    for _ in range(10):
        await room.wire.ask("POST", "/code", {"code": "222 222"})
    fresh = view_table(room.lab, table.id).code
    assert code != fresh
    for typed in (code, leave.code, fresh):
        await room.wire.ask("POST", "/code", {"code": typed})
    await room.wire.ask("POST", "/join", {"token": leave.token})


async def _ask_wrongly(room: Room, table: Table) -> None:
    """Collect every kind of refusal."""
    wire, much = room.wire, b" " * (BODY_LIMIT + 1)
    refused = [
        await wire.ask("GET", "/nowhere"),
        await wire.ask("GET", "/entries"),
        await wire.ask("POST", "/entries", raw=much, by=ODILE),
        await wire.ask("POST", "/entries", raw=b"", by=ODILE, content_length="999999"),
        await wire.ask("GET", "/", host="evil.example"),
        await wire.ask("POST", "/entries", {"entries": [None] * 101}, by=ODILE),
        await wire.ask("POST", "/entries", raw=b'{"entries"', by=ODILE),
        await wire.ask("POST", "/join", {"token": "x"}, origin="http://evil.example"),
        await wire.ask("GET", "/uncovered", by=ODILE),
        await wire.ask("GET", "/help", by=ODILE),
        await wire.ask("GET", "/sheet", by=KETTLE),
    ]
    assert [each.status for each in refused] == [
        *(404, 405, 413, 413, 421, 422, 422, 403, 403, 403, 403)
    ]
    token = view_table(room.lab, table.id).invitation
    await wire.ask("POST", "/join", {"token": token}, origin=PHONE_APP)
    await wire.ask("POST", "/join", {"token": token}, origin="http://192.168.1.99:8771")


async def _taste(room: Room, table: Table) -> None:
    at = Seated(table=table, seat=table.seats[0], grip=1)
    marks = whole_sheet(room.lab, at)
    half = marks[: len(marks) // 2]
    aside = [
        "nonsense",
        None,
        {"id": "short"},
        {**marks[0], "value": 1.0},
        {**marks[1], "id": "e" * 32, "value": 9.0},
        said(at, 901, "mark", place=marks[0]["place"], line="flavor", round="hot", value=8.1),
        said(at, 902, "mark", place="none", line="flavor", round="hot", value=8.0),
        said(replace(at, grip=7), 1, "hand_in"),
    ]
    for batch in (half[:60], half[:60], half[60:], aside, aside):
        await room.wire.ask("POST", "/entries", {"entries": batch, "offset_ms": 3.0}, by=ODILE)
    await room.wire.ask("POST", "/entries", raw=b'{"entries":[{"id":"\\ud800"}]}', by=ODILE)
    # Of a seat that is another's now, and of one whose phone was refused.
    await room.wire.ask("POST", "/entries", {"entries": marks[:3]}, by=SPARE)
    await room.wire.ask("POST", "/entries", {"entries": marks[:3]}, by=ANOUK)
    await room.wire.ask("GET", "/sheet", by=ODILE)


async def _hand_in(room: Room, table: Table) -> None:
    for nth, grip, by in ((0, 1, ODILE), (1, 2, SPARE)):
        at = Seated(table=table, seat=table.seats[nth], grip=grip)
        marks = whole_sheet(room.lab, at, points=7.0 + nth)
        whole_sheet_sent = marks if nth else marks[len(marks) // 2 :]
        last = len(marks) + 1
        end = [said(at, last, "hand_in"), {**marks[0], "id": "f" * 31 + str(nth), "no": last + 1}]
        calls = [
            said(at, last + 2 + n, "call", place=place.id, value="buy")
            for n, place in enumerate(table.places)
        ]
        calls.append(said(at, last + 2 + len(calls), "knew", place=table.places[0].id, value="yes"))
        for batch in (whole_sheet_sent[:100], whole_sheet_sent[100:], end, calls):
            await room.wire.ask("POST", "/entries", {"entries": batch}, by=by)
        await room.wire.ask("GET", "/sheet", by=by)


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> Told:
    """Give what was sent in the lab to which every other is compared."""
    return play(tmp_path_factory.mktemp("silence") / "lab", NAMES)


@pytest.mark.parametrize("names", [EXCHANGED, OTHERS], ids=["exchanged", "others"])
def test_every_byte_before_the_uncovering_is_the_same_whatever_the_coffees_are_called(
    told: Told, tmp_path: Path, names: tuple[str, ...]
) -> None:
    other = play(tmp_path / "lab", names)

    assert differences(told.before, other.before) == []
    assert told.lives == other.lives
    # The labs do differ: the host's pages say so, and the phone app does once it may.
    assert told.pages != other.pages
    assert any("/uncovered: 200" in line for line in differences(told.after, other.after))


def test_numbered_bowls_tell_the_floor_as_little(tmp_path: Path) -> None:
    one, other = (
        play(tmp_path / names[0][:2], names, numbered=True) for names in (NAMES, EXCHANGED)
    )

    assert differences(one.before, other.before) == []
    assert one.pages != other.pages
    assert any("/uncovered: 200" in line for line in differences(one.after, other.after))


def test_the_script_goes_every_way_into_the_floor(told: Told) -> None:
    mounts = {route.path for route in told.routes if isinstance(route, Mount)}
    ways = {type(route) for route in told.routes if not isinstance(route, Route | Mount)}

    assert never_answered(told.routes, told.before) == {"GET /uncovered"}
    assert never_answered(told.routes, [*told.before, *told.after]) == set()
    # Whatever comes in beside these has to be asked, too.
    assert (mounts, ways) == ({"/static/phone", "/static/shared"}, set())


def test_the_script_meets_every_kind_of_answer(told: Told) -> None:
    words = {
        answer["word"]
        for each in told.before
        if each.path == "/entries" and each.method == "POST" and each.status == 200
        for answer in each.json()["answers"]
    }
    flights = {
        each.json()["flight"]
        for each in told.before
        if (each.method, each.path, each.status) == ("GET", "/state", 200)
    }

    assert {each.status for each in told.before} >= {
        *(200, 204, 403, 404, 405, 409, 413, 421, 422, 429)
    }
    assert words == {"kept", "kept late", "set aside"}
    assert flights == {"planned", "under way", "called"}
    assert any((b"content-encoding", b"gzip") in each.headers for each in told.before)


def test_the_names_are_the_hosts_alone_until_the_end(told: Told) -> None:
    seen = [
        place["coffee"]
        for each in told.after
        if (each.method, each.path, each.status) == ("GET", "/uncovered", 200)
        for place in each.json()["coffees"]
    ]

    assert set(seen) == {*NAMES, CONTROL}
    assert any(NAMES[2] in page for page in told.pages)


def name_under(lab: Lab, records: ReadAccess, table: Table, place_id: str) -> str:
    names = {coffee.id: coffee.name for coffee in records.coffees(table.id)}
    return names[lab.keys.open(table.id).coffee_of[place_id]]


def first_name(lab: Lab) -> str:
    def ask(records: ReadAccess) -> str:
        tables = records.tables()
        if not tables:
            return ""
        names = (name_under(lab, records, tables[0], place.id) for place in tables[0].places)
        return next(name for name in names if name != CONTROL)

    return lab.repository.read(ask)


class TellingHeader:
    """Says with every answer how long the name of the first coffee is."""

    def __init__(self, app: ASGIApp, lab: Lab) -> None:
        self.app = app
        self.lab = lab

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        async def send_more(message: Message) -> None:
            if message["type"] == "http.response.start":
                size = str(len(first_name(self.lab))).encode()
                message["headers"] = [*message["headers"], (b"x-size", size)]
            await send(message)

        await self.app(scope, receive, send_more)


def with_a_telling_header(lab: Lab) -> FastAPI:
    app = plain_phone_app(lab)
    app.add_middleware(TellingHeader, lab=lab)
    return app


def with_a_telling_error(lab: Lab) -> FastAPI:
    app = plain_phone_app(lab)

    @app.exception_handler(NotThere)
    def say(_request: Request, error: NotThere) -> JSONResponse:
        hint = f"Did you mean the one with {first_name(lab)[:1]}?"
        said = {"message": error.message, "hint": hint, "problems": []}
        return JSONResponse({"error": said}, status_code=error.status)

    return app


class ByName:
    """Books, or what is read in them, whose places stand in the order of the coffees' names."""

    def __init__(self, lab: Lab, inner: Any) -> None:
        self._lab = lab
        self._inner = inner

    def __getattr__(self, name: str) -> Any:
        return getattr(self._inner, name)

    def read(self, ask: Callable[[Any], Any]) -> Any:
        return self._inner.read(lambda reading: ask(ByName(self._lab, reading)))

    def write(self, work: Callable[[Any], Any]) -> Any:
        return self._inner.write(lambda writing: work(ByName(self._lab, writing)))

    def later(self, work: Callable[[Any], Any]) -> Any:
        return self._inner.later(lambda writing: work(ByName(self._lab, writing)))

    def table(self, table_id: str) -> Table:
        table: Table = self._inner.table(table_id)
        (flight,) = table.flights
        places = sorted(
            flight.places, key=lambda place: name_under(self._lab, self._inner, table, place.id)
        )
        return replace(table, flights=(replace(flight, places=tuple(places)),))


def with_a_telling_order(lab: Lab) -> FastAPI:
    return plain_phone_app(replace(lab, repository=ByName(lab, lab.repository)))


@pytest.mark.parametrize(
    ("leak", "where"),
    [
        (with_a_telling_header, "x-size"),
        (with_a_telling_error, "Did you mean the one with"),
        (with_a_telling_order, "GET /sheet: 200"),
    ],
)
def test_a_planted_leak_is_caught(tmp_path: Path, leak: Build, where: str) -> None:
    one = play(tmp_path / "one", NAMES, leak, (ODILE,))
    other = play(tmp_path / "other", EXCHANGED, leak, (ODILE,))

    found = differences(one.before, other.before)

    assert any(where in line for line in found)
    assert len(found) < len(one.before)
