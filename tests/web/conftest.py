"""The two apps in process, on a real store."""

from collections.abc import Iterator

import pytest
from at_the_door import host_client, phone_client
from fastapi.testclient import TestClient

from crustbreak.ports.lab import Lab


@pytest.fixture
def host(lab: Lab) -> Iterator[TestClient]:
    with host_client(lab) as client:
        yield client


@pytest.fixture
def phones(lab: Lab) -> Iterator[TestClient]:
    with phone_client(lab) as client:
        yield client
