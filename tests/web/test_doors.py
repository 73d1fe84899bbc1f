import signal
import socket
import subprocess
import sys
import threading
from pathlib import Path
from urllib.request import urlopen

import pytest
from at_the_table import opened_lab

from crustbreak.config import Settings
from crustbreak.web.doors import PortTaken, open_doors
from served_lab import served_lab


def test_says_that_a_port_is_taken(tmp_path: Path) -> None:
    with socket.socket() as taken, opened_lab(tmp_path / "lab") as (lab, _):
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        settings = Settings(
            folder=tmp_path, lab_name="", host_port=port, floor_port=0, floor_address="127.0.0.1"
        )

        with pytest.raises(PortTaken, match=f"Port {port} is taken") as refused:
            # Not in the main thread, so that the server leaves this process's signals alone.
            in_a_thread(lambda: open_doors(lab, settings, lambda: None))

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
    thread.join(timeout=20)
    if raised:
        raise raised[0]


def test_serves_two_apps_and_stops_on_a_signal(tmp_path: Path) -> None:
    with served_lab(tmp_path / "lab") as lab:
        floor_port = lab.floor.rsplit(":", 1)[1]
        with urlopen(lab.host) as host, urlopen(f"http://127.0.0.1:{floor_port}/") as floor:
            pages = (host.read().decode(), floor.read().decode())

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
            timeout=20,
            check=False,
        )

    assert second.returncode == 1
    assert second.stderr.startswith("error: ")
    assert signal.SIGINT.name not in second.stderr
