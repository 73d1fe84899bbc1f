"""Who may ask at all: each guard is one rule, and refuses before anything is read or done.

Order, from the outside: `Apology`, `HostList`, then `OwnOrigin` and `Entered` (host) or
`Neighbours` (phone app), then `BodyLimit`.
"""

import asyncio
import re
from abc import ABC, abstractmethod
from collections.abc import Callable, Collection
from dataclasses import dataclass
from ipaddress import IPv4Address, IPv6Address, ip_address
from typing import ClassVar

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from crustbreak.core.errors import CrustbreakError, NotYours

BODY_LIMIT = 256 * 1024

# What is still under way when a request is refused is let run off, so that the answer is read
# and not lost in a connection cut off; but not for ever.
LINGER_S = 2.0
LINGER_BYTES = 64 * BODY_LIMIT

PLACE = re.compile(
    r"(?:\[(?P<v6>[0-9a-fA-F:.]+)\]|(?P<name>[0-9a-zA-Z._-]+))(?::(?P<port>[0-9]{1,5}))?"
)
DEFAULT_PORTS = {"http": 80, "https": 443}
EXPOSED = "Crustbreak-Lab, Crustbreak-Now"
PREFLIGHT = {
    "Access-Control-Allow-Methods": "GET, POST",
    "Access-Control-Allow-Headers": "authorization, content-type",
    "Access-Control-Max-Age": "600",
}

Say = Callable[[CrustbreakError], Response]


class Elsewhere(CrustbreakError):
    """The request was meant for another server, or does not say for which."""

    status: ClassVar[int] = 421


class TooMuch(CrustbreakError):
    """More was sent than any page of the lab sends."""

    status: ClassVar[int] = 413


class Broken(CrustbreakError):
    """The lab itself is at fault."""

    status: ClassVar[int] = 500


@dataclass(frozen=True, slots=True)
class HostPort:
    """A host and its port, as a Host header or an origin names them; the host in lower case."""

    host: str
    port: int

    @property
    def ip(self) -> IPv4Address | IPv6Address | None:
        """The address that the host is, or None for a name."""
        return read_ip(self.host)


def read_ip(host: str) -> IPv4Address | IPv6Address | None:
    """Read an IP address, without the zone that only its own machine knows; None for a name."""
    try:
        address = ip_address(host.partition("%")[0])
    except ValueError:
        return None
    return getattr(address, "ipv4_mapped", None) or address


def read_place(text: str, scheme: str) -> HostPort | None:
    """Read `host`, `host:port` or `[address]:port`; None for anything else."""
    found = PLACE.fullmatch(text)
    if found is None or (found["v6"] and read_ip(found["v6"]) is None):
        return None
    port = int(found["port"]) if found["port"] else DEFAULT_PORTS.get(scheme, 0)
    return HostPort((found["v6"] or found["name"]).lower(), port)


def read_origin(text: str) -> tuple[str, HostPort] | None:
    """Read an origin as scheme and place; None for `null` and anything else."""
    scheme, found, rest = text.partition("://")
    place = read_place(rest, scheme) if found else None
    return (scheme, place) if place else None


def one_header(scope: Scope, name: str) -> str | None:
    """Return a header that stands there exactly once; None otherwise."""
    values = Headers(scope=scope).getlist(name)
    return values[0] if len(values) == 1 else None


async def refuse(answer: Response, receive: Receive, send: Send) -> None:
    """Answer, and close the connection once the sender has had time to read it."""
    headers = MutableHeaders(raw=answer.raw_headers)
    headers["Connection"] = "close"
    start = {"status": answer.status_code, "headers": answer.raw_headers}
    await send({"type": "http.response.start", **start})
    await send({"type": "http.response.body", "body": answer.body, "more_body": True})
    await _let_run_off(receive)
    await send({"type": "http.response.body", "body": b""})


async def _let_run_off(receive: Receive) -> None:
    came = 0
    try:
        async with asyncio.timeout(LINGER_S):
            while came <= LINGER_BYTES:
                message = await receive()
                if message["type"] != "http.request" or not message.get("more_body", False):
                    return
                came += len(message.get("body", b""))
    except TimeoutError:
        return


class Guard(ABC):
    """One rule: `check` gives the refusal, or None to let the request through."""

    def __init__(self, app: ASGIApp, *, say: Say) -> None:
        """Wrap an app; `say` puts a refusal into the app's own shape."""
        self.app = app
        self.say = say

    @abstractmethod
    async def check(self, scope: Scope) -> CrustbreakError | None:
        """Return the refusal of a request, or None."""

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Refuse the request, or pass it on."""
        refusal = await self.check(scope) if scope["type"] == "http" else None
        if refusal:
            await refuse(self.say(refusal), receive, send)
        else:
            await self.app(scope, receive, send)


class HostList(Guard):
    """Lets a request through that was meant for this very lab.

    A page of the internet may give its own name the laptop's address and then ask as if it were
    the lab's own page. Its name stays in the Host header, and is on no list.
    """

    def __init__(
        self, app: ASGIApp, *, say: Say, names: Callable[[], Collection[str]], port: int, ips: bool
    ) -> None:
        """Wrap an app.

        Args:  names: hosts by which it is asked for. ips: whether the address at which the very
               connection came in will do too; an address cannot be given away as a name can.
        """
        super().__init__(app, say=say)
        self.names = names
        self.port = port
        self.ips = ips

    async def check(self, scope: Scope) -> CrustbreakError | None:
        """Refuse a Host that is not on the list, stands there twice or not at all."""
        said = one_header(scope, "host")
        place = read_place(said, scope["scheme"]) if said else None
        if place and place.port == self.port and self._is_here(place, scope):
            return None
        return Elsewhere(
            "This is not the address of the lab.",
            hint="Open the address that the laptop shows.",
        )

    def _is_here(self, place: HostPort, scope: Scope) -> bool:
        if self.ips and place.ip is not None:
            here = read_ip((scope.get("server") or ("",))[0])
            if here == place.ip:
                return True
        return place.host in self.names()


class OwnOrigin(Guard):
    """Lets nothing be changed but by the app's own pages."""

    async def check(self, scope: Scope) -> CrustbreakError | None:
        """Refuse a write whose Origin is not that of the page asked for."""
        if scope["method"] in ("GET", "HEAD"):
            return None
        own = f"{scope['scheme']}://{one_header(scope, 'host')}".lower()
        if one_header(scope, "origin") == own:
            return None
        return NotYours(
            "This did not come from the lab's own page.",
            hint="Open the lab's page and do it there.",
        )


class Neighbours(Guard):
    """Lets a page of the lab's own phone app through, also one opened at another address.

    The laptop's address may change while phones hold marks on a page of the old one; they send
    them to the new address, which a browser calls another origin.
    """

    def __init__(
        self, app: ASGIApp, *, say: Say, names: Callable[[], Collection[str]], port: int
    ) -> None:
        super().__init__(app, say=say)
        self.names = names
        self.port = port

    async def check(self, scope: Scope) -> CrustbreakError | None:
        """Refuse a write from a page that is not of the phone app.

        One without Origin is no page.
        """
        origins = Headers(scope=scope).getlist("origin")
        if scope["method"] in ("GET", "HEAD") or not origins or self._ours(scope):
            return None
        return NotYours(
            "This did not come from the lab's own page.",
            hint="Scan the code on the laptop and go on there.",
        )

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a question beforehand, or pass the request on and mark the answer."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        ours = self._ours(scope)

        async def send_marked(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                headers.add_vary_header("Origin")
                if ours:
                    headers["Access-Control-Allow-Origin"] = ours
                    headers["Access-Control-Expose-Headers"] = EXPOSED
            await send(message)

        if ours and scope["method"] == "OPTIONS":
            await Response(status_code=204, headers=PREFLIGHT)(scope, receive, send_marked)
            return
        await super().__call__(scope, receive, send_marked)

    def _ours(self, scope: Scope) -> str:
        said = one_header(scope, "origin") or ""
        host = one_header(scope, "host")
        if said.lower() == f"{scope['scheme']}://{host}".lower():
            return said
        origin = read_origin(said)
        if origin is None or origin[0] != scope["scheme"] or origin[1].port != self.port:
            return ""
        place = origin[1]
        near = _is_near(place.ip) if place.ip else place.host in self.names()
        return said if near or place.host in self.names() else ""


def _is_near(address: IPv4Address | IPv6Address) -> bool:
    return address.is_private or address.is_loopback or address.is_link_local


class BodyLimit(Guard):
    """Takes in what is sent, up to the limit, before anything else of the app sees it."""

    async def check(self, scope: Scope) -> CrustbreakError | None:
        """Refuse what says beforehand that it is too much."""
        length = one_header(scope, "content-length") or ""
        # More digits than the limit has are more than the limit, and no work to read.
        if length.isdecimal() and (len(length.lstrip("0")) > 9 or int(length) > BODY_LIMIT):
            return _too_much()
        return None

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Refuse a body over the limit, or pass the request on with all of it."""
        if scope["type"] != "http" or await self.check(scope):
            await super().__call__(scope, receive, send)
            return
        pieces: list[Message] = []
        came = 0
        while not pieces or pieces[-1].get("more_body", False):
            piece = await receive()
            if piece["type"] != "http.request":
                return
            came += len(piece.get("body", b""))
            if came > BODY_LIMIT:
                await refuse(self.say(_too_much()), receive, send)
                return
            pieces.append(piece)
        waiting = iter(pieces)

        async def receive_again() -> Message:
            return next(waiting, None) or await receive()

        await self.app(scope, receive_again, send)


def _too_much() -> TooMuch:
    return TooMuch(
        f"This is more than {BODY_LIMIT // 1024} KB.",
        hint="Send less at a time.",
    )


class Apology:
    """Says a fault of the lab's own in the app's own shape, and lets it go on to the log."""

    def __init__(self, app: ASGIApp, *, say: Say) -> None:
        self.app = app
        self.say = say

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on; answer where the app broke down before it answered."""
        begun = scope["type"] != "http"

        async def send_noted(message: Message) -> None:
            nonlocal begun
            begun = True
            await send(message)

        try:
            await self.app(scope, receive, send_noted)
        except Exception:
            if not begun:
                said = Broken(
                    "The lab has a fault of its own.",
                    hint="Try once more. What was kept is kept; the terminal says what broke.",
                )
                await self.say(said)(scope, receive, send)
            raise
