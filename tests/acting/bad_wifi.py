"""A bad Wi-Fi between phones and the lab: it loses, delays, duplicates, reorders, cuts and lies.

A phone sends to this instead of to the lab. What happens to a request follows from a seed, the
phone that asks and how often it has asked, so that a run that fails can be had again.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from http.client import HTTPConnection, HTTPException
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from random import Random
from threading import Event, Lock, Thread

PATIENCE_S = 10.0
LONGEST_DELAY_S = 0.05

# Of a hundred requests, how many meet with what; the others pass.
FAULTS: Mapping[str, int] = {
    "lost on the way": 8,
    "answer lost": 10,
    "answer cut": 8,
    "slow": 8,
    "sent twice": 10,
    "overtaken": 8,
    "sign-in page": 6,
    "bad gateway": 6,
}
SIGN_IN = b"<!doctype html><title>Welcome to our Wi-Fi</title><form>Please sign in</form>"


@dataclass(frozen=True, slots=True)
class Request:
    """A request as it came."""

    method: str
    path: str
    headers: Mapping[str, str]
    body: bytes


@dataclass(slots=True)
class Held:
    """A request that waits until so many others have passed."""

    request: Request
    behind: int


class BadWifi:
    """What lies between the phones and the lab.

    port:  where phones send to.
    met:   how many requests met with each fault, or `passed`.
    """

    def __init__(self, lab_port: int, *, seed: str) -> None:
        self.port = 0
        self.met: Counter[str] = Counter()
        self._lab_port, self._seed = lab_port, seed
        self._chances: dict[str, Random] = {}
        self._held: list[Held] = []
        self._lock = Lock()

    def carry(self, request: Request) -> bytes:
        """Give the bytes that come back to the phone, which may be none."""
        with self._lock:
            chance = self._chance_of(request)
            fault = self._draw(chance)
            self.met[fault] += 1
        answer = self._meet(fault, request, chance)
        for each in self._due():
            self._pass_on(each)
        return answer

    def let_go(self) -> None:
        """Let everything through that was held back."""
        for each in self._due(all_of_them=True):
            self._pass_on(each)

    def _chance_of(self, request: Request) -> Random:
        phone = request.headers.get("Authorization", "")
        return self._chances.setdefault(phone, Random(f"{self._seed} {phone}"))

    def _draw(self, chance: Random) -> str:
        rest = chance.randrange(100)
        for fault, share in FAULTS.items():
            rest -= share
            if rest < 0:
                return fault
        return "passed"

    def _meet(self, fault: str, request: Request, chance: Random) -> bytes:
        ways: dict[str, Callable[[], bytes]] = {
            "passed": lambda: self._pass_on(request),
            "lost on the way": lambda: b"",
            "answer lost": lambda: self._pass_on(request) and b"",
            "answer cut": lambda: cut(self._pass_on(request), chance),
            "slow": lambda: self._late(request, chance),
            "sent twice": lambda: self._twice(request),
            "overtaken": lambda: self._hold(request, chance),
            "sign-in page": lambda: page("200 OK", SIGN_IN),
            "bad gateway": lambda: page("502 Bad Gateway", b"<h1>502</h1>"),
        }
        return ways[fault]()

    def _late(self, request: Request, chance: Random) -> bytes:
        Event().wait(chance.uniform(0, LONGEST_DELAY_S))
        return self._pass_on(request)

    def _twice(self, request: Request) -> bytes:
        twin = Thread(target=self._pass_on, args=(request,))
        twin.start()
        answer = self._pass_on(request)
        twin.join()
        return answer

    def _hold(self, request: Request, chance: Random) -> bytes:
        with self._lock:
            self._held.append(Held(request, behind=chance.randint(1, 6)))
        return b""

    def _due(self, *, all_of_them: bool = False) -> list[Request]:
        with self._lock:
            for each in self._held:
                each.behind -= 1
            due = [each for each in self._held if all_of_them or each.behind < 0]
            self._held = [each for each in self._held if each not in due]
        return [each.request for each in due]

    def _pass_on(self, request: Request) -> bytes:
        lab = HTTPConnection("127.0.0.1", self._lab_port, timeout=PATIENCE_S)
        try:
            lab.request(request.method, request.path, request.body or None, dict(request.headers))
            answer = lab.getresponse()
            return page(f"{answer.status} {answer.reason}", answer.read(), kind="application/json")
        except (OSError, HTTPException):
            # The lab is down just now: for the phone that is one silence more.
            return b""
        finally:
            lab.close()


def page(status: str, body: bytes, *, kind: str = "text/html") -> bytes:
    """Give an answer as bytes."""
    head = f"HTTP/1.1 {status}\r\nContent-Type: {kind}\r\nContent-Length: {len(body)}\r\n"
    return f"{head}Connection: close\r\n\r\n".encode() + body


def cut(answer: bytes, chance: Random) -> bytes:
    """Give the beginning of an answer: at least a byte, and never all of it."""
    return answer[: chance.randint(1, len(answer) - 1)] if answer else b""


@contextmanager
def bad_wifi(lab_port: int, *, seed: str) -> Iterator[BadWifi]:
    """Put a bad Wi-Fi before the lab; at the end all that it held back goes through."""
    wifi = BadWifi(lab_port, seed=seed)

    class Carrier(BaseHTTPRequestHandler):
        protocol_version = "HTTP/1.1"

        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers.get("Content-Length", 0)))
            headers = {
                name: self.headers[name]
                for name in ("Host", "Authorization", "Content-Type")
                if name in self.headers
            }
            request = Request(self.command, self.path, headers, body)
            self.wfile.write(wifi.carry(request))
            self.close_connection = True

        do_GET = do_POST  # noqa: N815

        def log_message(self, *args: object) -> None:
            """Keep the test's output clean."""

    with ThreadingHTTPServer(("127.0.0.1", 0), Carrier) as server:
        # A phone that left is nobody to wait for.
        server.daemon_threads = True
        wifi.port = server.server_port
        Thread(target=server.serve_forever, daemon=True).start()
        try:
            yield wifi
            wifi.let_go()
        finally:
            server.shutdown()
