"""The two apps in process, on a real store."""

from collections.abc import Iterator

import pytest
from at_the_door import floor_client, host_client
from fastapi.testclient import TestClient

from crustbreak.ports.lab import Lab


@pytest.fixture
def host(lab: Lab) -> Iterator[TestClient]:
    with host_client(lab) as client:
        yield client


@pytest.fixture
def floor(lab: Lab) -> Iterator[TestClient]:
    with floor_client(lab) as client:
        yield client
