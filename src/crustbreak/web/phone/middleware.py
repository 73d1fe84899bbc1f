"""The guards of the phones' app in their order; the last one added stands outermost."""

from fastapi import FastAPI
from starlette.middleware.gzip import GZipMiddleware

from crustbreak.config import Settings
from crustbreak.ports.lab import Lab
from crustbreak.web.http.guards import Apology, BodyLimit, HostList, Neighbours
from crustbreak.web.http.headers import Discreet, phone_headers, phone_policy
from crustbreak.web.http.pages import error_json


def guard_phone_app(app: FastAPI, lab: Lab, settings: Settings) -> None:
    """Put the guards around the phones' app."""
    port, names = settings.phone_port, settings.names
    # The phone's page is some thirty small files, over a Wi-Fi that is often bad.
    app.add_middleware(GZipMiddleware, minimum_size=500)
    app.add_middleware(BodyLimit, say=error_json)
    app.add_middleware(Neighbours, say=error_json, names=names, port=port)
    app.add_middleware(HostList, say=error_json, names=names, port=port, ips=True)
    app.add_middleware(Apology, say=error_json)
    app.add_middleware(
        Discreet, headers=lambda: phone_headers(lab), policy=phone_policy(settings.phone_port)
    )
