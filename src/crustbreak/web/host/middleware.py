"""The guards of the host's app in their order; the last one added stands outermost."""

from fastapi import FastAPI

from crustbreak.config import LOOPBACK, Settings
from crustbreak.ports.lab import Lab
from crustbreak.web.host.login import Entered
from crustbreak.web.http.guards import Apology, BodyLimit, HostList, OwnOrigin
from crustbreak.web.http.headers import HOST_HEADERS, Discreet
from crustbreak.web.http.pages import error_page


def guard_host(app: FastAPI, lab: Lab, settings: Settings) -> None:
    """Put the guards around the host's app."""
    port = settings.host_port
    app.add_middleware(BodyLimit, say=error_page)
    app.add_middleware(Entered, say=error_page, lab=lab, port=port)
    app.add_middleware(OwnOrigin, say=error_page)
    app.add_middleware(HostList, say=error_page, names=lambda: LOOPBACK, port=port, ips=False)
    app.add_middleware(Apology, say=error_page)
    app.add_middleware(Discreet, headers=lambda: HOST_HEADERS)
