import asyncio
import json
from collections.abc import Iterator
from typing import Any
from urllib.parse import quote, urlencode

import pytest
from at_the_door import (
    HOST,
    PHONE_APP,
    SETTINGS,
    host_client,
    new_links,
    phone_client,
    stranger_at_host,
)
from at_the_table import planned
from fastapi import FastAPI
from fastapi.testclient import TestClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from starlette.responses import PlainTextResponse

from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.web.host.middleware import guard_host
from crustbreak.web.http.guards import (
    BODY_LIMIT,
    LINGER_BYTES,
    Apology,
    BodyLimit,
    Broken,
    Elsewhere,
    Guard,
    HostList,
    HostPort,
    Neighbours,
    OwnOrigin,
    TooMuch,
    one_header,
    read_ip,
    read_origin,
    read_place,
    refuse,
)
from crustbreak.web.http.pages import error_json, error_page
from crustbreak.web.phone.middleware import guard_phone_app

DISCREET = {
    "cache-control": "no-store",
    "x-content-type-options": "nosniff",
}
REBINDING = (
    "evil.example",
    "evil.example:8770",
    "evil.example:8771",
    "127.0.0.1",
    "127.0.0.1:9999",
    "127.0.0.1:08770x",
    "localhost.evil.example:8770",
    "user@127.0.0.1:8770",
    "127.0.0.1:8770, evil.example",
    "2130706433:8770",
    "127.1:8770",
    "0x7f.0.0.1:8770",
    "x[::1]:8770",
    "[::1]x:8770",
    "[::1",
    ":8770",
    "",
    "<script>",
    "127.0.0.1:8770\x00",
    "127.0.0.1:99999",
)


def nothing_was_done(lab: Lab, table: Table) -> bool:
    events = lab.repository.read(lambda records: records.events(table.id))
    tables = lab.repository.read(lambda records: records.tables())
    return events == () and len(tables) == 1


def said_in_shape(client: TestClient, answer: Any) -> bool:
    headers = all(answer.headers[name] == value for name, value in DISCREET.items())
    policy = "frame-ancestors 'none'" in answer.headers["content-security-policy"]
    if "json" in answer.headers["content-type"]:
        stamped = {"crustbreak-lab", "crustbreak-now"} <= set(answer.headers)
        shape = set(answer.json()["error"]) == {"message", "hint", "problems"}
        return headers and policy and stamped and shape
    return headers and policy and "<h1" in answer.text


@pytest.mark.parametrize("said", REBINDING)
def test_answers_under_no_other_name(
    host: TestClient, phones: TestClient, lab: Lab, said: str
) -> None:
    table = planned(lab)
    headers = {"host": said, "origin": f"http://{said}"}

    answers = [
        host.get("/", headers=headers),
        host.post(f"/tables/{table.id}/card", headers=headers),
        host.post("/plan/choose", headers=headers, data={"coffees": "One"}),
        phones.get("/", headers=headers),
        phones.post("/join", headers=headers, json={"token": "x"}),
    ]

    assert {answer.status_code for answer in answers} == {Elsewhere.status} == {421}
    assert all(said_in_shape(host, answer) for answer in answers)
    assert not any("evil" in answer.text or "<script>" in answer.text for answer in answers)
    assert nothing_was_done(lab, table)


@pytest.mark.parametrize("said", ["127.0.0.1:8770", "localhost:8770", "LOCALHOST:8770"])
def test_answers_the_laptop_under_its_own_names(host: TestClient, said: str) -> None:
    assert host.get("/", headers={"host": said}).status_code == 200


@pytest.mark.parametrize(
    "said", ["lab.test:8771", "Lab.Test:8771", "ketterby.local:8771", "localhost:8771"]
)
def test_answers_phones_under_the_names_of_the_lab(phones: TestClient, said: str) -> None:
    assert phones.get("/", headers={"host": said}).status_code == 200


@pytest.mark.parametrize(
    ("socket", "said", "status"),
    [
        ("192.168.7.20", "192.168.7.20:8771", 200),
        ("192.168.7.20", "192.168.7.21:8771", 421),
        ("fd00::7", "[fd00::7]:8771", 200),
        ("fd00::7", "[fd00:0:0::7]:8771", 200),
        ("fe80::7%eth0", "[fe80::7]:8771", 200),
        ("::ffff:192.168.7.20", "192.168.7.20:8771", 200),
        ("fd00::7", "[fd00::8]:8771", 421),
        ("fd00::7", "fd00::7:8771", 421),
    ],
)
def test_answers_phones_at_the_address_at_which_they_came_in(
    lab: Lab, socket: str, said: str, status: int
) -> None:
    # Also at one that the laptop was only given while the lab was open.
    app = guarded_phone_app(lab)

    assert asked(app, server=socket, host=[said])[0] == status


@pytest.mark.parametrize("hosts", [[], ["lab.test:8771", "lab.test:8771"], ["lab.test:8771", "x"]])
def test_wants_one_host(lab: Lab, hosts: list[str]) -> None:
    assert asked(guarded_phone_app(lab), server="lab.test", host=hosts)[0] == 421


def guarded_phone_app(lab: Lab) -> FastAPI:
    app = FastAPI()
    guard_phone_app(app, lab, SETTINGS)
    app.add_api_route("/", lambda: {"here": True})
    app.add_api_route("/broken", lambda: 1 // 0)
    return app


def guarded_host(lab: Lab) -> FastAPI:
    app = FastAPI()
    guard_host(app, lab, SETTINGS)
    app.add_api_route("/static/broken", lambda: 1 // 0)
    return app


PLAIN = {
    "type": "http",
    "method": "GET",
    "scheme": "http",
    "path": "/",
    "raw_path": b"/",
    "query_string": b"",
    "root_path": "",
}


def asked(app: Any, *, server: str, host: list[str], **scope: Any) -> tuple[int, list[Any]]:
    """Ask below HTTP, where nothing has been put right yet."""
    sent: list[Any] = []

    async def receive() -> dict[str, Any]:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: Any) -> None:
        sent.append(message)

    whole = {
        **PLAIN,
        "server": (server, 8771),
        "headers": [(b"host", each.encode()) for each in host],
        **scope,
    }
    asyncio.run(app(whole, receive, send))
    return sent[0]["status"], sent


@pytest.mark.parametrize(
    "origin",
    [
        None,
        "null",
        "",
        "http://evil.example",
        "http://localhost:8770",
        "https://127.0.0.1:8770",
        "http://127.0.0.1:8771",
        "http://127.0.0.1",
        "http://127.0.0.1:8770/",
        "http://127.0.0.1:8770.evil.example",
    ],
)
def test_nothing_of_the_hosts_is_done_for_a_foreign_page(
    host: TestClient, lab: Lab, origin: str | None
) -> None:
    table = planned(lab)
    del host.headers["origin"]
    headers = {} if origin is None else {"origin": origin}

    answers = [
        host.post(path, headers=headers)
        for path in ("/plan/choose", f"/tables/{table.id}/card", f"/tables/{table.id}/taps/set")
    ]
    answers.append(host.delete("/", headers=headers))

    assert [answer.status_code for answer in answers] == [403] * 4
    assert all(said_in_shape(host, answer) for answer in answers)
    assert nothing_was_done(lab, table)


def test_the_hosts_pages_act_under_either_name(host: TestClient, lab: Lab) -> None:
    table = planned(lab)
    either = {"host": "localhost:8770", "origin": "http://localhost:8770"}

    answer = host.post(f"/tables/{table.id}/taps/set", headers=either)

    assert answer.status_code == 303


NEAR = (
    PHONE_APP,
    "http://ketterby.local:8771",
    "http://192.168.1.23:8771",
    "http://10.0.0.9:8771",
    "http://169.254.3.4:8771",
    "http://[fe80::7]:8771",
    "http://[fd00::7]:8771",
    "http://127.0.0.1:8771",
)
FAR = (
    "null",
    "http://evil.example:8771",
    "http://192.168.1.23",
    "http://192.168.1.23:8770",
    "https://192.168.1.23:8771",
    "http://8.8.8.8:8771",
    "http://[2606:4700::1]:8771",
    "http://192.168.1.23:8771.evil.example",
    "http://lab.test.evil.example:8771",
    "<script>",
)


@pytest.mark.parametrize("origin", NEAR)
def test_a_page_of_an_address_before_goes_on(phones: TestClient, origin: str) -> None:
    headers = {"origin": origin}

    before = phones.options("/entries", headers=headers)
    answers = [
        phones.get("/", headers=headers),
        phones.get("/state", headers=headers),
        phones.post("/join", headers=headers, json={"token": "x"}),
        phones.post("/join", headers=headers, content=b"x" * (BODY_LIMIT + 1)),
    ]

    assert before.status_code == 204
    assert before.headers["access-control-allow-methods"] == "GET, POST"
    assert before.headers["access-control-allow-headers"] == "authorization, content-type"
    assert [answer.status_code for answer in answers] == [200, 403, 404, 413]
    for answer in (before, *answers):
        assert answer.headers["access-control-allow-origin"] == origin
        assert "Origin" in answer.headers["vary"]
        assert "Crustbreak-Now" in answer.headers["access-control-expose-headers"]
        assert "access-control-allow-credentials" not in answer.headers


@pytest.mark.parametrize("origin", FAR)
def test_a_foreign_page_reads_and_writes_nothing(phones: TestClient, origin: str) -> None:
    headers = {"origin": origin}

    before = phones.options("/entries", headers=headers)
    write = phones.post("/join", headers=headers, json={"token": "x"})
    read = phones.get("/", headers=headers)

    assert (before.status_code, write.status_code, read.status_code) == (403, 403, 200)
    assert said_in_shape(phones, write)
    assert not any("access-control-allow-origin" in a.headers for a in (before, write, read))


def test_a_page_at_a_public_address_of_the_lab_may_write_to_itself(lab: Lab) -> None:
    scope = {"method": "POST", "path": "/nowhere"}
    own = [(b"host", b"8.8.8.8:8771"), (b"origin", b"http://8.8.8.8:8771")]

    status, _ = asked(guarded_phone_app(lab), server="8.8.8.8", host=[], headers=own, **scope)

    assert status == 404


MUCH = 10 * 1024 * 1024


@pytest.mark.parametrize("declared", [True, False])
def test_takes_no_ten_megabytes(
    host: TestClient, phones: TestClient, lab: Lab, declared: bool
) -> None:
    table = planned(lab)
    content: Any = b"x" * MUCH

    def piecewise() -> Iterator[bytes]:
        yield from (b"x" * 65_536 for _ in range(MUCH // 65_536))

    answers = [
        client.post(path, content=content if declared else piecewise())
        for client, path in ((host, f"/tables/{table.id}/card"), (phones, "/entries"))
    ]

    assert {answer.status_code for answer in answers} == {TooMuch.status} == {413}
    assert all(said_in_shape(host, answer) for answer in answers)
    assert nothing_was_done(lab, table)


class Sender:
    """Sends pieces of 64 KB for as long as it is asked for more, and counts them."""

    def __init__(self, *, pieces: int | None = None) -> None:
        self.pieces = pieces
        self.given = 0
        self.heard: list[Any] = []

    async def receive(self) -> dict[str, Any]:
        self.given += 1
        more = self.pieces is None or self.given < self.pieces
        return {"type": "http.request", "body": b"x" * 65_536, "more_body": more}

    async def send(self, message: Any) -> None:
        self.heard.append(message)


async def count(scope: Any, receive: Any, send: Any) -> None:
    came, more = 0, True
    while more:
        message = await receive()
        came, more = came + len(message["body"]), message["more_body"]
    await PlainTextResponse(str(came))(scope, receive, send)


POST = {"type": "http", "method": "POST", "headers": []}


def test_passes_on_what_is_exactly_the_limit() -> None:
    sender = Sender(pieces=4)

    asyncio.run(BodyLimit(count, say=error_json)(POST, sender.receive, sender.send))

    # 256 KB, as the limit is told.
    assert sender.heard[1]["body"] == b"262144"


def test_stops_listening_to_a_sender_without_end() -> None:
    sender = Sender()

    asyncio.run(BodyLimit(count, say=error_json)(POST, sender.receive, sender.send))

    assert sender.heard[0]["status"] == 413
    assert (b"connection", b"close") in sender.heard[0]["headers"]
    assert sender.given * 65_536 < LINGER_BYTES + 8 * 65_536


@pytest.mark.parametrize("length", ["262145", "9" * 5000, "0000000000262145"])
def test_refuses_beforehand_what_says_that_it_is_too_much(length: str) -> None:
    sender = Sender(pieces=1)
    scope = {**POST, "headers": [(b"content-length", length.encode())]}

    asyncio.run(BodyLimit(count, say=error_json)(scope, sender.receive, sender.send))

    assert sender.heard[0]["status"] == 413


def test_a_sender_that_goes_away_is_not_answered() -> None:
    sender = Sender()

    async def gone() -> dict[str, Any]:
        return {"type": "http.disconnect"}

    asyncio.run(BodyLimit(count, say=error_json)(POST, gone, sender.send))

    assert sender.heard == []


def test_a_refusal_is_whole_before_the_rest_is_let_run_off() -> None:
    sender = Sender(pieces=3)
    answer = error_json(Elsewhere("No.", hint="Go."))

    asyncio.run(refuse(answer, sender.receive, sender.send))

    assert [message.get("more_body", False) for message in sender.heard] == [False, True, False]
    assert sender.heard[1]["body"] == answer.body
    assert sender.given == 3


@pytest.mark.parametrize("path", ["/broken", "/static/broken"])
def test_says_its_own_fault_in_the_apps_shape(lab: Lab, path: str) -> None:
    app, base = (
        (guarded_phone_app(lab), PHONE_APP) if path == "/broken" else (guarded_host(lab), HOST)
    )
    client = TestClient(app, base_url=base, raise_server_exceptions=False)

    answer = client.get(path)

    assert answer.status_code == Broken.status == 500
    assert said_in_shape(client, answer)
    assert "ZeroDivision" not in answer.text


def test_a_fault_goes_on_to_the_log() -> None:
    async def broken(scope: Any, receive: Any, send: Any) -> None:
        raise OSError("no disk")

    sender = Sender(pieces=1)

    with pytest.raises(OSError, match="no disk"):
        asyncio.run(Apology(broken, say=error_page)(POST, sender.receive, sender.send))

    assert sender.heard[0]["status"] == 500


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("lab.test:8771", HostPort("lab.test", 8771)),
        ("LAB.test", HostPort("lab.test", 80)),
        ("[FD00::7]:1", HostPort("fd00::7", 1)),
        ("[]:1", None),
        ("[1.2.3.4.5]:1", None),
        ("a:b", None),
        ("a:", None),
        ("a/b", None),
        ("\u0661.1.1.1:1", None),
    ],
)
def test_reads_a_place_and_nothing_like_one(text: str, place: HostPort | None) -> None:
    assert read_place(text, "http") == place


def test_reads_an_origin() -> None:
    assert read_origin("http://[::1]:8771") == ("http", HostPort("::1", 8771))
    assert read_origin("https://lab.test") == ("https", HostPort("lab.test", 443))
    assert read_origin("null") is None


def test_reads_an_address_and_no_name() -> None:
    assert read_ip("fe80::1%en0") == read_ip("fe80::1")
    assert HostPort("127.0.0.1", 1).ip == read_ip("::ffff:127.0.0.1")
    assert read_ip("lab.test") is None


def test_gives_a_header_that_stands_there_once() -> None:
    scope = {"type": "http", "headers": [(b"a", b"1"), (b"b", b"1"), (b"b", b"2")]}

    assert [one_header(scope, name) for name in "abc"] == ["1", None, None]


def test_every_guard_lets_what_is_no_request_pass() -> None:
    passed: list[str] = []

    async def app(scope: Any, receive: Any, send: Any) -> None:
        passed.append(scope["type"])

    names: Any = {"names": lambda: (), "port": 1}
    guards: list[Any] = [
        OwnOrigin(app, say=error_page),
        HostList(app, say=error_page, ips=True, **names),
        Neighbours(app, say=error_json, **names),
        BodyLimit(app, say=error_json),
        Apology(app, say=error_json),
    ]
    for guard in guards:
        asyncio.run(guard({"type": "lifespan"}, None, None))

    assert passed == ["lifespan"] * len(guards)
    with pytest.raises(TypeError, match="abstract"):
        Guard(app, say=error_page)


HOSTILE = st.one_of(
    st.sampled_from(
        ("<script>alert(1)</script>", "\ud800", "\u202egnp.exe", "\x00", "\r\nX: y", "..", "%")
    ),
    st.text(st.characters(), max_size=30),
    st.just("x" * 65_536),
)
PATHS = ("/", "/join", "/code", "/helper", "/seats/", "/entries", "/check", "/static/")
HOST_PATHS = ("/", "/plan/", "/plan/choose", "/tables/", "/enter/", "/static/", "/evidence.css")
WAYS = st.sampled_from(("GET", "POST", "PUT", "OPTIONS", "HEAD"))
HEADERS = st.sampled_from(
    ("host", "origin", "cookie", "authorization", "content-type", "content-length", "range")
)
PROPERTY = settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
    max_examples=60,
)


def in_header(text: str) -> bytes:
    return text.encode("utf-8", "replace").replace(b"\r", b"").replace(b"\n", b"")


def is_decent(answer: Any, hostile: str) -> bool:
    # In JSON and in a style nothing runs: the type says what it is, and `nosniff` keeps to it.
    reflected = "html" in answer.headers.get("content-type", "") and "<script>a" in answer.text
    return answer.status_code < 500 and not reflected and "no-store" in str(answer.headers)


@PROPERTY
@given(hostile=HOSTILE, way=WAYS, path=st.sampled_from(HOST_PATHS), header=HEADERS)
def test_no_hostile_text_breaks_the_hosts_app(
    hostile: str, way: str, path: str, header: str, host: TestClient
) -> None:
    address = path + quote(hostile[:4000], errors="surrogatepass", safe="")
    names = ("coffees", "tasters", "setter", "cut_off", "occasion", "reason", "word:x")
    form = urlencode({**dict.fromkeys(names, hostile), hostile: "1"}, errors="surrogatepass")
    typed = {"content-type": "application/x-www-form-urlencoded"}

    answers = [
        host.request(way, address),
        host.request(way, path, headers={header.encode(): in_header(hostile)}),
        host.post("/plan/choose", content=form, headers=typed),
        host.post(
            "/tables/x/verdict", files={"f": (quote(hostile[:40], errors="surrogatepass"), b"x")}
        ),
    ]

    assert all(is_decent(answer, hostile) for answer in answers)


@PROPERTY
@given(hostile=HOSTILE, way=WAYS, path=st.sampled_from(PATHS), header=HEADERS)
def test_no_hostile_text_breaks_the_floor(
    hostile: str, way: str, path: str, header: str, phones: TestClient
) -> None:
    address = path + quote(hostile[:4000], errors="surrogatepass", safe="")
    body = dict.fromkeys(("token", "secret", "code", "entries", hostile), hostile)
    said = {"content-type": "application/json"}

    answers = [
        phones.request(way, address),
        phones.request(way, path, headers={header.encode(): in_header(hostile)}),
        phones.post(path, content=json.dumps(body), headers=said),
        phones.post(address, content=hostile.encode("utf-8", "surrogatepass")),
    ]

    assert all(is_decent(answer, hostile) for answer in answers)


def test_a_stranger_learns_as_little_from_a_hostile_name(lab: Lab) -> None:
    with stranger_at_host(lab, new_links(lab)) as stranger, host_client(lab), phone_client(lab):
        answers = [stranger.get(f"/{quote(name)}") for name in ("<script>", "\u202e", "\x00")]

    assert [answer.status_code for answer in answers] == [401] * 3
    assert not any("<script>" in answer.text for answer in answers)
