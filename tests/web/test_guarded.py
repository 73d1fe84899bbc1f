from typing import Any

import pytest
from at_the_door import SETTINGS
from fastapi import FastAPI
from starlette.middleware.gzip import GZipMiddleware

from crustbreak.ports.lab import Lab
from crustbreak.web.entering import Entered
from crustbreak.web.guarded import guard_floor, guard_host
from crustbreak.web.guards import Apology, BodyLimit, HostList, Neighbours, OwnOrigin
from crustbreak.web.headers import Discreet

FLOOR = [Discreet, Apology, HostList, Neighbours, BodyLimit, GZipMiddleware]
HOST = [Discreet, Apology, HostList, OwnOrigin, Entered, BodyLimit]


@pytest.mark.parametrize(("guard", "order"), [(guard_floor, FLOOR), (guard_host, HOST)])
def test_the_headers_stand_outside_every_refusal(lab: Lab, guard: Any, order: list[Any]) -> None:
    app = FastAPI()

    guard(app, lab, SETTINGS)

    assert [each.cls for each in app.user_middleware] == order
