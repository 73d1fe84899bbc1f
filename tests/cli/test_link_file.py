import socket
from pathlib import Path

import pytest

from crustbreak.cli.link_file import NotRunning, link_in, read_link, write_link


def test_keeps_the_link_for_this_user_alone(tmp_path: Path) -> None:
    file = tmp_path / "link"
    file.write_text("of a lab before, and longer than the new one")
    file.chmod(0o644)

    write_link(file, "http://127.0.0.1:1/enter/abc")

    assert file.read_text() == "http://127.0.0.1:1/enter/abc\n"
    assert file.stat().st_mode & 0o777 == 0o600


def test_takes_the_link_away_when_the_lab_stops(tmp_path: Path) -> None:
    file = tmp_path / "link"

    with link_in(file) as keep:
        keep("http://127.0.0.1:1/enter/abc")
        there = file.exists()

    assert (there, file.exists()) == (True, False)


def test_gives_no_link_of_a_lab_that_was_killed(tmp_path: Path) -> None:
    # Bound and not listening: nobody else can take the port, and nobody answers.
    with socket.socket() as silent:
        silent.bind(("127.0.0.1", 0))
        write_link(tmp_path / "link", f"http://127.0.0.1:{silent.getsockname()[1]}/enter/abc")

        with pytest.raises(NotRunning, match="not running"):
            read_link(tmp_path / "link")


@pytest.mark.parametrize("line", ["", "\n", "nonsense", "http://127.0.0.1:x/", "\xff"])
def test_gives_nothing_that_is_no_link(tmp_path: Path, line: str) -> None:
    (tmp_path / "link").write_text(line, encoding="utf-8")

    with pytest.raises(NotRunning):
        read_link(tmp_path / "link")
