"""The host's door: a browser enters by a link that works once, and is known by its cookie."""

from starlette.concurrency import run_in_threadpool
from starlette.requests import cookie_parser
from starlette.responses import RedirectResponse
from starlette.types import ASGIApp, Scope

from crustbreak.core.errors import CrustbreakError
from crustbreak.ports.lab import Lab
from crustbreak.services.devices.host_login import Links, enter, knows
from crustbreak.web.http.guards import Guard, Say, one_header

ENTER = "/enter/"
# What a page needs to look as it should, and the link itself; neither tells anything.
OPEN = ("/static/", ENTER)

# Browsers keep no cookie longer than 400 days (RFC 6265bis, section 5.5).
KEPT_S = 400 * 24 * 60 * 60


class NotEntered(CrustbreakError):
    """This browser has not entered the lab."""

    status = 401


class Entered(Guard):
    """Lets through who has entered."""

    def __init__(self, app: ASGIApp, *, say: Say, lab: Lab, port: int) -> None:
        super().__init__(app, say=say)
        self.lab = lab
        self.cookie = cookie_name(port)

    async def check(self, scope: Scope) -> CrustbreakError | None:
        """Refuse a browser without a cookie of this lab's."""
        if scope["path"].startswith(OPEN):
            return None
        secret = cookie_parser(one_header(scope, "cookie") or "").get(self.cookie, "")
        entered = await run_in_threadpool(knows, self.lab, secret)
        if entered:
            return None
        return NotEntered(
            "This browser has not entered the lab.",
            hint="Open the link that the lab printed in its terminal, or run `crustbreak link`.",
        )


def cookie_name(port: int) -> str:
    """Name the cookie: browsers keep those of one address together, whatever the port."""
    return f"crustbreak_{port}"


def let_in(lab: Lab, links: Links, link: str, port: int) -> RedirectResponse:
    """Use the link, give the browser its cookie and send it to today's page."""
    secret = enter(lab, links, link)
    answer = RedirectResponse("/", status_code=303)
    answer.set_cookie(
        cookie_name(port), secret, max_age=KEPT_S, path="/", httponly=True, samesite="strict"
    )
    return answer
