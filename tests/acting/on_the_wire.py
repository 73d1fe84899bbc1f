"""A phone that keeps every byte the phone app sends it.

And knows each way in from the app's routes.
"""

import asyncio
import json
import zlib
from collections.abc import AsyncIterator, Iterable
from contextlib import asynccontextmanager
from dataclasses import dataclass
from typing import Any
from urllib.parse import unquote

from starlette.routing import BaseRoute, Route
from starlette.types import ASGIApp, Message, Receive, Scope

HOST = "lab.test:8771"
# A gzip stream with its header: 16 more than the window (zlib's manual, inflateInit2).
GZIP = 31


@dataclass(frozen=True, slots=True)
class Sent:
    """One answer as it left the lab.

    headers:  all but Date, in their order.
    body:     as sent, so packed where it went packed.
    """

    method: str
    path: str
    by: str
    status: int
    headers: tuple[tuple[bytes, bytes], ...]
    body: bytes

    def json(self) -> Any:
        """Give what the answer says."""
        packed = (b"content-encoding", b"gzip") in self.headers
        return json.loads(zlib.decompress(self.body, GZIP) if packed else self.body)


class Wire:
    """The line between a phone and its app."""

    def __init__(self, app: ASGIApp, sent: list[Sent], *, packed: bool) -> None:
        """Hold the line.

        Args:  sent: to which every answer is added. packed: whether phones take gzip.
        """
        self._app = app
        self._sent = sent
        self._packed = packed

    async def ask(
        self,
        method: str,
        path: str,
        what: object = None,
        *,
        by: str = "",
        raw: bytes | None = None,
        **headers: str,
    ) -> Sent:
        """Ask, and hang up after the first words of an answer that has no end.

        Args:  what: sent as JSON. by: a device's secret. raw: sent instead of JSON.
        """
        said = raw if raw is not None else b"" if what is None else json.dumps(what).encode()
        messages: list[Message] = []
        heard = asyncio.Event()

        async def send(message: Message) -> None:
            messages.append(message)
            if message["type"] == "http.response.body":
                heard.set()

        scope = self._scope(method, path, by, headers)
        await self._app(scope, _receiving(said, heard), send)
        return self._note(method, path, by, messages)

    @asynccontextmanager
    async def listening(self, by: str) -> AsyncIterator[asyncio.Queue[Message]]:
        """Give the parts of a stream as they come; it ends with the context."""
        parts: asyncio.Queue[Message] = asyncio.Queue()
        messages: list[Message] = []
        gone = asyncio.Event()

        async def send(message: Message) -> None:
            messages.append(message)
            await parts.put(message)

        scope = self._scope("GET", "/stream", by, {})
        stream = asyncio.create_task(self._app(scope, _receiving(b"", gone), send))
        try:
            yield parts
        finally:
            gone.set()
            await stream
            self._note("GET", "/stream", by, messages)

    def _scope(self, method: str, path: str, by: str, headers: dict[str, str]) -> Scope:
        told = {"host": HOST, "content-type": "application/json", **headers}
        if by:
            told["authorization"] = f"Bearer {by}"
        if self._packed:
            told["accept-encoding"] = "gzip"
        return {
            "type": "http",
            # By the newer way of 2.4 a stream would not learn that the phone has gone.
            "asgi": {"version": "3.0", "spec_version": "2.3"},
            "http_version": "1.1",
            "method": method,
            "scheme": "http",
            "path": unquote(path),
            "raw_path": path.encode(),
            "query_string": b"",
            "root_path": "",
            "headers": [
                (name.replace("_", "-").encode(), value.encode()) for name, value in told.items()
            ],
            "client": ("192.168.1.40", 50_000),
            "server": ("192.168.1.23", 8771),
        }

    def _note(self, method: str, path: str, by: str, messages: list[Message]) -> Sent:
        start, *parts = messages
        headers = ((bytes(name), bytes(value)) for name, value in start["headers"])
        sent = Sent(
            method=method,
            path=path,
            by=by,
            status=start["status"],
            headers=tuple(each for each in headers if each[0].lower() != b"date"),
            body=b"".join(part.get("body", b"") for part in parts),
        )
        self._sent.append(sent)
        return sent


def _receiving(said: bytes, gone: asyncio.Event) -> Receive:
    waiting = iter([{"type": "http.request", "body": said, "more_body": False}])

    async def receive() -> Message:
        message = next(waiting, None)
        if message is None:
            await gone.wait()
            return {"type": "http.disconnect"}
        return message

    return receive


def differences(one: Iterable[Sent], other: Iterable[Sent]) -> list[str]:
    """Name each answer that is not the same to the byte in two recordings of one script."""
    return [
        f"{a.method} {a.path}: {a.status} {_unlike(a, b)}"
        for a, b in zip(one, other, strict=True)
        if a != b
    ]


def _unlike(one: Sent, other: Sent) -> str:
    if (one.method, one.path, one.by) != (other.method, other.path, other.by):
        return "was not asked twice alike"
    headers = sorted(set(one.headers) ^ set(other.headers))
    return f"{headers} {one.body[:200]!r} {other.body[:200]!r}"


def never_answered(routes: Iterable[BaseRoute], sent: Iterable[Sent]) -> set[str]:
    """Name the ways into an app that a recording never went with success."""
    every = tuple(sent)
    return {
        f"{method} {route.path}"
        for route in routes
        if isinstance(route, Route)
        for method in route.methods or ()
        if not any(_went(route, method, each) for each in every)
    }


def _went(route: Route, method: str, sent: Sent) -> bool:
    asked = sent.method == method and route.path_regex.match(sent.path)
    return bool(asked) and sent.status == 200
