"""The two apps in process, with a browser that has entered and a phone that may ask."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from fastapi.testclient import TestClient

from crustbreak.config import Settings
from crustbreak.ports.lab import Lab
from crustbreak.services.devices.host_login import Links
from crustbreak.web.host.app import host_app
from crustbreak.web.phone.app import phone_app

SETTINGS = Settings(
    folder=Path("lab"),
    lab_name="Test lab",
    host_port=8770,
    phone_port=8771,
    phone_address="lab.test",
    machine_name="ketterby",
)
HOST = "http://127.0.0.1:8770"
PHONE_APP = "http://lab.test:8771"


def new_links(lab: Lab) -> Links:
    """Give links that are kept nowhere."""
    return Links(lab.randomness.secret, lambda _link: None)


@contextmanager
def stranger_at_host(lab: Lab, links: Links) -> Iterator[TestClient]:
    """Give a browser of the laptop that has not entered."""
    app = host_app(lab, SETTINGS, links)
    with TestClient(app, base_url=HOST, follow_redirects=False) as client:
        yield client


@contextmanager
def host_client(lab: Lab) -> Iterator[TestClient]:
    """Give the host's browser: it has entered, and says as browsers do from where it writes."""
    links = new_links(lab)
    with stranger_at_host(lab, links) as client:
        client.get(f"/enter/{links.unused}")
        client.headers["origin"] = HOST
        yield client


@contextmanager
def phone_client(lab: Lab) -> Iterator[TestClient]:
    """Give a phone."""
    with TestClient(phone_app(lab, SETTINGS), base_url=PHONE_APP) as client:
        yield client
