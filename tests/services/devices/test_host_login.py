from pathlib import Path

import pytest
from at_the_table import opened_lab

from crustbreak.core.errors import NotYours
from crustbreak.ports.lab import Lab
from crustbreak.services.devices.host_login import Links, enter, knows


def test_lets_in_by_a_link_once(lab: Lab) -> None:
    kept: list[str] = []
    links = Links(lab.randomness.secret, kept.append)

    secret = enter(lab, links, kept[0])

    assert knows(lab, secret)
    assert len(set(kept)) == 2
    assert links.unused == kept[1]
    with pytest.raises(NotYours) as used:
        enter(lab, links, kept[0])
    assert "crustbreak link" in used.value.hint


@pytest.mark.parametrize("said", ["", "guess", "\ud800", "x" * 65_536])
def test_lets_nobody_in_by_another_link(lab: Lab, said: str) -> None:
    kept: list[str] = []
    links = Links(lab.randomness.secret, kept.append)

    with pytest.raises(NotYours):
        enter(lab, links, said)

    assert [links.unused] == kept
    assert not knows(lab, said)


def test_a_link_by_which_nobody_entered_still_works(lab: Lab) -> None:
    links = Links(lab.randomness.secret, lambda _link: None)
    link = links.unused

    def break_down() -> None:
        raise OSError("disk full")

    with pytest.raises(OSError, match="disk full"):
        links.spend(link, break_down)

    assert links.spend(link, lambda: "in") == "in"


def test_knows_a_browser_after_the_lab_was_closed_and_opened(tmp_path: Path) -> None:
    with opened_lab(tmp_path / "lab") as (lab, _):
        links = Links(lab.randomness.secret, lambda _link: None)
        secret = enter(lab, links, links.unused)

    with opened_lab(tmp_path / "lab") as (lab, _):
        assert knows(lab, secret)
        assert not knows(lab, secret[:-1])


def test_keeps_no_secret_in_the_clear(tmp_path: Path) -> None:
    with opened_lab(tmp_path / "lab") as (lab, _):
        links = Links(lab.randomness.secret, lambda _link: None)
        secret = enter(lab, links, links.unused)

    files = [file.read_bytes() for file in (tmp_path / "lab").iterdir() if file.is_file()]
    assert files
    assert not any(secret.encode() in file for file in files)
