"""The guards of each app in their order; the last one added stands outermost."""

from fastapi import FastAPI
from starlette.middleware.gzip import GZipMiddleware

from crustbreak.config import LOOPBACK, Settings
from crustbreak.ports.lab import Lab
from crustbreak.web.entering import Entered
from crustbreak.web.guards import Apology, BodyLimit, HostList, Neighbours, OwnOrigin
from crustbreak.web.headers import HOST_HEADERS, Discreet, floor_headers, floor_policy
from crustbreak.web.pages import say_json, say_page


def guard_host(app: FastAPI, lab: Lab, settings: Settings) -> None:
    """Put the guards around the host's app."""
    port = settings.host_port
    app.add_middleware(BodyLimit, say=say_page)
    app.add_middleware(Entered, say=say_page, lab=lab, port=port)
    app.add_middleware(OwnOrigin, say=say_page)
    app.add_middleware(HostList, say=say_page, names=lambda: LOOPBACK, port=port, ips=False)
    app.add_middleware(Apology, say=say_page)
    app.add_middleware(Discreet, headers=lambda: HOST_HEADERS)


def guard_floor(app: FastAPI, lab: Lab, settings: Settings) -> None:
    """Put the guards around the phones' app."""
    port, names = settings.floor_port, settings.names
    # The phone's page is some thirty small files, over a Wi-Fi that is often bad.
    app.add_middleware(GZipMiddleware, minimum_size=500)
    app.add_middleware(BodyLimit, say=say_json)
    app.add_middleware(Neighbours, say=say_json, names=names, port=port)
    app.add_middleware(HostList, say=say_json, names=names, port=port, ips=True)
    app.add_middleware(Apology, say=say_json)
    app.add_middleware(
        Discreet, headers=lambda: floor_headers(lab), policy=floor_policy(settings.floor_port)
    )
