"""A lab served by the real command, for the journeys and the pictures."""

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen

# Stands for the laptop's address on the roastery's network; the browser maps it to loopback.
LAB_HOST = "lab.test"
STARTS_WITHIN_S = 20


@dataclass(frozen=True, slots=True)
class ServedLab:
    """Where a lab is open: the host's page, and the phones' page under a made-up name."""

    host: str
    floor: str


@contextmanager
def served_lab(folder: Path, *, demo: bool = False) -> Iterator[ServedLab]:
    """Open a lab in a process of its own, and stop it as Ctrl+C would."""
    host_port, floor_port = _free_port(), _free_port()
    command = [
        *(sys.executable, "-m", "crustbreak", "run", "--folder", str(folder)),
        *("--host-port", str(host_port), "--floor-port", str(floor_port)),
        *("--address", LAB_HOST, "--name", "Test lab"),
        *(["--demo"] if demo else []),
    ]
    with (folder.parent / f"{folder.name}.log").open("wb") as log:
        # Its QR code is drawn in block signs, which a C locale could not print.
        speaking = {**os.environ, "PYTHONUTF8": "1"}
        lab = subprocess.Popen(command, stdout=log, stderr=log, env=speaking)
        try:
            _await(f"http://127.0.0.1:{floor_port}/static/tokens.css", lab)
            _await(f"http://127.0.0.1:{host_port}/", lab)
            yield ServedLab(f"http://127.0.0.1:{host_port}", f"http://{LAB_HOST}:{floor_port}")
        finally:
            lab.send_signal(signal.SIGINT)
            lab.wait(timeout=STARTS_WITHIN_S)


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


def _await(url: str, lab: "subprocess.Popen[bytes]") -> None:
    until = time.monotonic() + STARTS_WITHIN_S
    while time.monotonic() < until:
        if lab.poll() is not None:
            raise RuntimeError(f"the lab stopped with {lab.returncode} before it was open")
        try:
            with urlopen(url):
                return
        except URLError:
            time.sleep(0.05)
    raise RuntimeError(f"the lab was not open within {STARTS_WITHIN_S} s")
