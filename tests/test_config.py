import ipaddress
from pathlib import Path

import pytest

from crustbreak.config import Settings, default_folder, local_address


def test_says_where_the_lab_can_be_reached() -> None:
    settings = Settings(
        folder=Path("/data"),
        lab_name="Test lab",
        host_port=8770,
        floor_port=8771,
        floor_address="10.1.2.3",
    )

    assert settings.host_url == "http://127.0.0.1:8770/"
    # The token stands behind the #, which a browser sends to nobody.
    assert settings.join_url("abc") == "http://10.1.2.3:8771/#abc"


def test_keeps_a_lab_where_the_platform_keeps_data(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", "/data")
    named = default_folder()
    monkeypatch.delenv("XDG_DATA_HOME")

    assert named == Path("/data/crustbreak")
    assert default_folder() == Path.home() / ".local" / "share" / "crustbreak"


def test_finds_an_address_of_this_machine() -> None:
    assert ipaddress.ip_address(local_address()).version == 4
