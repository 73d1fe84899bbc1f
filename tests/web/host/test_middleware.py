from at_the_door import SETTINGS
from fastapi import FastAPI

from crustbreak.ports.lab import Lab
from crustbreak.web.host.login import Entered
from crustbreak.web.host.middleware import guard_host
from crustbreak.web.http.guards import Apology, BodyLimit, HostList, OwnOrigin
from crustbreak.web.http.headers import Discreet


def test_the_headers_stand_outside_every_refusal(lab: Lab) -> None:
    app = FastAPI()

    guard_host(app, lab, SETTINGS)

    order = [Discreet, Apology, HostList, OwnOrigin, Entered, BodyLimit]
    assert [each.cls for each in app.user_middleware] == order
