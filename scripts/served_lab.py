"""A lab served by the real command, for the journeys, the pictures and the tests of faults."""

import os
import random
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from urllib.error import HTTPError, URLError
from urllib.request import urlopen

# Stands for the laptop's address on the roastery's network; the browser maps it to loopback.
LAB_HOST = "lab.test"
# Patience, and no measure: several tests and other programs may want the same cores.
STARTS_WITHIN_S = 60
# Below those that systems give to whoever asks somewhere. Asked at one of its own, a machine may
# be connected to itself before the lab listens, and the lab then finds the port taken.
PORTS = range(20_000, 32_000)
# Tests that run at the same time take every fourth of them, each from its own on: between the look
# for a free port and the lab's own taking it nobody else can.
WORKERS = 4
PROGRAM = ("-m", "crustbreak", "run")


class ServedLab:
    """A lab in a process of its own, which can be killed and started again.

    host:        the host's page.
    floor:       the phones' page, under a made-up name.
    floor_port:  where the phone app listens on this machine; the same after every start.
    """

    def __init__(
        self, folder: Path, *, demo: bool = False, program: tuple[str, ...] = PROGRAM
    ) -> None:
        """Make a lab in a folder; `program` is what python runs to serve it."""
        host_port, self.phone_port = _two_free_ports()
        self.folder = folder
        self.host = f"http://127.0.0.1:{host_port}"
        self.phones = f"http://{LAB_HOST}:{self.phone_port}"
        self._command = [
            *(sys.executable, *program, "--folder", str(folder)),
            *("--host-port", str(host_port), "--phone-port", str(self.phone_port)),
            *("--address", LAB_HOST, "--name", "Test lab"),
            *(["--demo"] if demo else []),
        ]
        self._process: subprocess.Popen[bytes] | None = None

    def link(self) -> str:
        """Return the address by which a laptop comes in: the one-time link, where there is one."""
        try:
            return (self.folder / "link").read_text(encoding="utf-8").strip()
        except FileNotFoundError:
            return self.host

    def start(self) -> None:
        """Open the lab, as often as it was stopped, and wait until both pages answer."""
        # Its QR code is drawn in block signs, which a C locale could not print.
        speaking = {**os.environ, "PYTHONUTF8": "1"}
        with (self.folder.parent / f"{self.folder.name}.log").open("ab") as log:
            self._process = subprocess.Popen(self._command, stdout=log, stderr=log, env=speaking)
        _await(f"http://127.0.0.1:{self.phone_port}/static/shared/tokens.css", self._process)
        _await(f"{self.host}/", self._process)

    def kill(self) -> None:
        """End the lab as a power cut would: no warning, nothing written any more."""
        self._end(signal.SIGKILL)

    def stop(self) -> None:
        """Stop the lab as Ctrl+C would; nothing to do when it is down."""
        self._end(signal.SIGINT)

    def _end(self, by: signal.Signals) -> None:
        if self._process is not None:
            self._process.send_signal(by)
            self._process.wait(timeout=STARTS_WITHIN_S)
            self._process = None


@contextmanager
def served_lab(
    folder: Path, *, demo: bool = False, program: tuple[str, ...] = PROGRAM
) -> Iterator[ServedLab]:
    """Open a lab in a process of its own, and stop it as Ctrl+C would."""
    lab = ServedLab(folder, demo=demo, program=program)
    try:
        lab.start()
        yield lab
    finally:
        lab.stop()


def _two_free_ports() -> tuple[int, int]:
    found: list[int] = []
    worker = int(os.environ.get("PYTEST_XDIST_WORKER", "gw0").removeprefix("gw"))
    for port in random.SystemRandom().sample(PORTS[worker % WORKERS :: WORKERS], 50):
        with socket.socket() as probe, suppress(OSError):
            probe.bind(("127.0.0.1", port))
            found.append(port)
        if len(found) == 2:
            return found[0], found[1]
    raise RuntimeError("of fifty ports hardly one is free")


def _await(url: str, lab: "subprocess.Popen[bytes]") -> None:
    until = time.monotonic() + STARTS_WITHIN_S
    while time.monotonic() < until:
        if lab.poll() is not None:
            raise RuntimeError(f"the lab stopped with {lab.returncode} before it was open")
        try:
            with urlopen(url, timeout=STARTS_WITHIN_S):
                return
        except HTTPError as answer:
            # It is open, and wants to know who asks.
            answer.close()
            return
        except URLError:
            time.sleep(0.05)
    raise RuntimeError(f"the lab was not open within {STARTS_WITHIN_S} s")
