"""The two apps in process, on a real store."""

from collections.abc import Iterator

import pytest
from fastapi.testclient import TestClient

from crustbreak.ports.lab import Lab
from crustbreak.web.floor import floor_app
from crustbreak.web.host import host_app


@pytest.fixture
def host(lab: Lab) -> Iterator[TestClient]:
    app = host_app(lab, lambda token: f"http://lab.test/#{token}")
    with TestClient(app, base_url="http://127.0.0.1", follow_redirects=False) as client:
        yield client


@pytest.fixture
def floor(lab: Lab) -> Iterator[TestClient]:
    with TestClient(floor_app(lab), base_url="http://lab.test") as client:
        yield client
