"""What every answer says of itself: keep nothing, load nothing from elsewhere."""

from collections.abc import Callable, Mapping

from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from crustbreak.core.units import utc_text
from crustbreak.ports.lab import Lab

POLICY = "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

HEADERS = {
    "Cache-Control": "no-store",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}

# A script or a style sheet is no page and needs no policy. There are some forty of them, over a
# Wi-Fi that is often bad.
PARTS = ("text/javascript", "text/css")
# What a browser asks again by, of a file that it has stored; it stores none.
FOR_STORED = ("ETag", "Last-Modified", "Accept-Ranges")

# With `no-referrer` a browser sends a form with `Origin: null`, and a form of the host's own
# page could not be told from a foreign one. `same-origin` tells nobody else either.
HOST_HEADERS = {**HEADERS, "Referrer-Policy": "same-origin"}


def phone_policy(port: int) -> str:
    """Return the policy of the phones' page.

    The laptop's address may change while a phone has the page of the old one open: its marks
    then go to the new address, which nobody knows beforehand. The port stays.
    """
    return f"{POLICY}; connect-src 'self' http://*:{port}"


def phone_headers(lab: Lab) -> Mapping[str, str]:
    """Return the headers of the phone app: with which lab this is, and what time it has."""
    return {
        **HEADERS,
        "Crustbreak-Lab": lab.incarnation,
        "Crustbreak-Now": utc_text(lab.clock.now()),
    }


class Discreet:
    """Adds the headers to every answer; a page that brings a policy of its own keeps it."""

    def __init__(
        self,
        app: ASGIApp,
        *,
        headers: Callable[[], Mapping[str, str]] = lambda: HEADERS,
        policy: str = POLICY,
    ) -> None:
        """Wrap an app.

        Args:  headers: asked for every answer. policy: of pages without one of their own.
        """
        self.app = app
        self.headers = headers
        self.policy = policy

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on and mark the answer."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def send_marked(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                said = self.headers()
                if headers.get("content-type", "").startswith(PARTS):
                    said = {name: said[name] for name in HEADERS}
                    for name in FOR_STORED:
                        del headers[name]
                else:
                    headers.setdefault("Content-Security-Policy", self.policy)
                headers.update(said)
            await send(message)

        await self.app(scope, receive, send_marked)
