import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from urllib.request import HTTPCookieProcessor, build_opener, urlopen

import pytest
from at_the_door import new_links
from at_the_table import opened_lab

from crustbreak.config import Settings
from crustbreak.web.server import PortTaken, open_doors
from served_lab import ServedLab, served_lab


def test_says_that_a_port_is_taken(tmp_path: Path) -> None:
    with socket.socket() as taken, opened_lab(tmp_path / "lab") as (lab, _):
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        settings = Settings(
            folder=tmp_path, lab_name="", host_port=port, phone_port=0, phone_address="127.0.0.1"
        )

        with pytest.raises(PortTaken, match=f"Port {port} is taken") as refused:
            # Not in the main thread, so that the server leaves this process's signals alone.
            in_a_thread(lambda: open_doors(lab, settings, new_links(lab), lambda: None))

    assert "--host-port" in refused.value.hint


def in_a_thread(work: object) -> None:
    raised: list[BaseException] = []

    def run() -> None:
        try:
            work()  # type: ignore[operator]
        except BaseException as error:  # noqa: BLE001
            raised.append(error)

    thread = threading.Thread(target=run)
    thread.start()
    thread.join(timeout=60)
    if raised:
        raise raised[0]


def test_serves_two_apps_and_stops_on_a_signal(tmp_path: Path) -> None:
    with served_lab(tmp_path / "lab") as lab:
        # One after the other: the link leads to a page only with the cookie it sets.
        browser = build_opener(HTTPCookieProcessor())
        with browser.open(lab.link()) as host:
            pages = [host.read().decode()]
        with urlopen(f"http://127.0.0.1:{lab.phone_port}/") as phones:
            pages.append(phones.read().decode())

    assert "Which of these is worth buying?" in pages[0]
    assert "Which of these is worth buying?" not in pages[1]


def test_the_hosts_page_listens_on_this_laptop_alone(tmp_path: Path) -> None:
    with served_lab(tmp_path / "lab") as lab:
        port = int(lab.host.rsplit(":", 1)[1])

        # 127.0.0.2 is this machine too, and not the address that the host's page listens on.
        with socket.socket() as probe, pytest.raises(ConnectionRefusedError):
            probe.connect(("127.0.0.2", port))


def test_a_second_program_on_the_same_lab_is_refused(tmp_path: Path) -> None:
    with served_lab(tmp_path / "lab"):
        second = subprocess.run(
            [sys.executable, "-m", "crustbreak", "run", "--folder", str(tmp_path / "lab")],
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
        )

    assert second.returncode == 1
    assert second.stderr.startswith("error: ")
    assert signal.SIGINT.name not in second.stderr


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[ServedLab]:
    with served_lab(tmp_path_factory.mktemp("doors") / "lab") as lab:
        yield lab


def over_the_wire(port: int, *said: bytes) -> bytes:
    """Say bytes as they are, and give all that is answered until the line is closed."""
    with socket.create_connection(("127.0.0.1", port), timeout=60) as line:
        for piece in said:
            try:
                line.sendall(piece)
            except (BrokenPipeError, ConnectionResetError):
                break
        answer = b""
        with suppress(ConnectionResetError):
            while piece := line.recv(65_536):
                answer += piece
    return answer


def ports(lab: ServedLab) -> tuple[int, int]:
    return int(lab.host.rsplit(":", 1)[1]), lab.phone_port


MEGABYTES = 10 * 1024 * 1024
CHUNK = b"10000\r\n" + b"x" * 65_536 + b"\r\n"


@pytest.mark.parametrize("way", ["plain", "chunked"])
def test_takes_no_ten_megabytes_over_the_wire(served: ServedLab, way: str) -> None:
    answers = []
    for port, path in zip(ports(served), ("/static/x", "/entries"), strict=True):
        host = f"127.0.0.1:{port}"
        origin = f"Origin: http://{host}\r\n"
        head = f"POST {path} HTTP/1.1\r\nHost: {host}\r\n{origin}Connection: close\r\n"
        if way == "plain":
            length = f"Content-Length: {MEGABYTES}\r\n\r\n"
            answers.append(over_the_wire(port, (head + length).encode(), b"x" * MEGABYTES))
        else:
            chunked = (head + "Transfer-Encoding: chunked\r\n\r\n").encode()
            answers.append(over_the_wire(port, chunked, *[CHUNK] * 160, b"0\r\n\r\n"))

    assert [answer[:12] for answer in answers] == [b"HTTP/1.1 413"] * 2
    assert all(b"256 KB" in answer for answer in answers)
    assert is_open(served)


def is_open(lab: ServedLab) -> bool:
    with urlopen(f"http://127.0.0.1:{lab.phone_port}/") as page:
        return bool(page.status == 200)


@pytest.mark.parametrize(
    "said",
    [
        b"GET / HTTP/1.1\r\nHost: evil.example:%d\r\n\r\n",
        b"GET / HTTP/1.0\r\nX: %d\r\n\r\n",
        b"GET / HTTP/1.1\r\nX: %d\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: 127.0.0.1:%d\r\nHost: evil.example\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: 127.0.0.1:%d\r\nX: \x00\x1b\r\n\r\n",
        b"GET /\xed\xa0\x80 HTTP/1.1\r\nHost: 127.0.0.1:%d\r\n\r\n",
        b"GET http://evil.example/ HTTP/1.1\r\nHost: 127.0.0.1:%d\r\nConnection: close\r\n\r\n",
        b"GET /x%%ED%%A0%%80%%00%%E2%%80%%AE HTTP/1.1\r\nHost: 127.0.0.1:%d\r\n"
        b"Connection: close\r\n\r\n",
        b"POST / HTTP/1.1\r\nHost: 127.0.0.1:%d\r\nOrigin: http://evil.example\r\n\r\n",
        b"\x16\x03\x01 %d\r\n\r\n",
    ],
)
def test_hostile_words_over_the_wire_open_nothing(served: ServedLab, said: bytes) -> None:
    answers = [over_the_wire(port, said % port) for port in ports(served)]

    assert all(answer[:10] == b"HTTP/1.1 4" for answer in answers)
    assert not any(b"evil" in answer for answer in answers)
    assert is_open(served)


def test_a_header_without_end_breaks_nothing(served: ServedLab) -> None:
    head = b"GET /static/x HTTP/1.1\r\nHost: 127.0.0.1\r\nX: "

    answers = [over_the_wire(port, head, b"x" * 65_536) for port in ports(served)]

    # The line may be cut before the answer is read.
    assert {answer[:12] for answer in answers} <= {b"", b"HTTP/1.1 400"}
    assert is_open(served)


def test_a_browser_stays_known_when_the_lab_was_killed(tmp_path: Path) -> None:
    browser = build_opener(HTTPCookieProcessor())
    with served_lab(tmp_path / "lab") as lab:
        browser.open(lab.link()).close()
        lab.kill()
        dead = link_of(tmp_path / "lab")
        lab.start()

        with browser.open(lab.host) as page:
            known = page.status
        fresh = link_of(tmp_path / "lab")
    stopped = link_of(tmp_path / "lab")

    assert known == 200
    assert (dead.returncode, stopped.returncode) == (1, 1)
    assert "error: The lab is not running." in dead.stderr
    assert fresh.stdout.startswith(f"{lab.host}/enter/")
    assert not (tmp_path / "lab" / "link").exists()


def link_of(folder: Path) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        [sys.executable, "-m", "crustbreak", "link", "--folder", str(folder)],
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
