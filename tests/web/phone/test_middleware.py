from at_the_door import SETTINGS
from fastapi import FastAPI
from starlette.middleware.gzip import GZipMiddleware

from crustbreak.ports.lab import Lab
from crustbreak.web.http.guards import Apology, BodyLimit, HostList, Neighbours
from crustbreak.web.http.headers import Discreet
from crustbreak.web.phone.middleware import guard_phone_app


def test_the_headers_stand_outside_every_refusal(lab: Lab) -> None:
    app = FastAPI()

    guard_phone_app(app, lab, SETTINGS)

    order = [Discreet, Apology, HostList, Neighbours, BodyLimit, GZipMiddleware]
    assert [each.cls for each in app.user_middleware] == order
