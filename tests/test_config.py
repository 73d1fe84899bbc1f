import ipaddress
import socket
from pathlib import Path
from typing import Any

import pytest

from crustbreak.config import Settings, default_folder, free_ports, local_address


def test_says_where_the_lab_can_be_reached() -> None:
    settings = Settings(
        folder=Path("/data"),
        lab_name="Test lab",
        host_port=8770,
        phone_port=8771,
        phone_address="10.1.2.3",
    )

    assert settings.host_url == "http://127.0.0.1:8770/"
    assert settings.link_url("abc") == "http://127.0.0.1:8770/enter/abc"
    assert settings.link_file == Path("/data/link")
    # The token stands behind the #, which a browser sends to nobody.
    assert settings.join_url("abc") == "http://10.1.2.3:8771/#abc"


def test_keeps_a_lab_where_the_platform_keeps_data(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", "/data")
    named = default_folder()
    monkeypatch.delenv("XDG_DATA_HOME")

    assert named == Path("/data/crustbreak")
    assert default_folder() == Path.home() / ".local" / "share" / "crustbreak"


def test_a_lab_that_an_earlier_version_kept_elsewhere_stays_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    earlier = tmp_path / ".local" / "share" / "crustbreak"
    earlier.mkdir(parents=True)

    assert default_folder() == earlier
    (tmp_path / "data" / "crustbreak").mkdir(parents=True)
    assert default_folder() == tmp_path / "data" / "crustbreak"


def listening(port: int = 0, address: str = "127.0.0.1") -> socket.socket:
    taken = socket.socket()
    taken.bind((address, port))
    taken.listen()
    return taken


def test_a_free_port_is_taken_as_asked() -> None:
    with listening() as one, listening() as two:
        host, phones = one.getsockname()[1], two.getsockname()[1]

    assert free_ports(host, phones) == (host, phones)


def test_the_next_free_port_is_taken_where_one_is_in_use() -> None:
    with listening() as one, listening(address="0.0.0.0") as two:
        asked = one.getsockname()[1], two.getsockname()[1]
        host, phones = free_ports(*asked)

    assert host > asked[0]
    assert phones > asked[1]
    assert host != phones


def test_both_pages_never_share_a_port() -> None:
    with listening() as one:
        port = one.getsockname()[1]

    host, phones = free_ports(port, port)

    assert host != phones


def test_finds_an_address_of_this_machine() -> None:
    assert ipaddress.ip_address(local_address()).version == 4


def settings(**changed: Any) -> Settings:
    facts: dict[str, Any] = {"folder": Path("/data"), "lab_name": "", "machine_name": "Ketterby"}
    return Settings(**{**facts, "host_port": 8770, "phone_port": 8771, **changed})


def test_follows_the_address_of_the_laptop() -> None:
    found = iter(("10.1.2.3", "10.1.2.9", "10.1.2.9"))
    moving = settings(find_address=lambda: next(found))

    assert moving.addresses() == ["http://10.1.2.3:8771", "http://ketterby.local:8771"]
    assert moving.addresses() == ["http://10.1.2.9:8771", "http://ketterby.local:8771"]
    assert moving.join_url("abc") == "http://10.1.2.9:8771/#abc"


def test_keeps_to_an_address_that_was_given() -> None:
    given = settings(phone_address="Ketterby.local", find_address=lambda: "10.1.2.3")

    assert given.names() == ("127.0.0.1", "localhost", "ketterby.local", "ketterby.local")
    assert given.addresses() == ["http://ketterby.local:8771"]


@pytest.mark.parametrize("name", ["", "-x", "a b", "<script>", "käfer", "x" * 64])
def test_leaves_out_a_machine_name_that_no_address_can_have(name: str) -> None:
    odd = settings(phone_address="fd00::7", machine_name=name)

    assert odd.addresses() == ["http://[fd00::7]:8771"]


def test_tells_where_somebody_tastes_on_the_laptop_itself() -> None:
    assert settings(phone_address="lab.test").here_url("abc") == "http://127.0.0.1:8771/#abc"
