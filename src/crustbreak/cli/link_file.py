"""The unused link in a file of the lab's folder, for the one who runs the lab and nobody else."""

import os
import socket
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit

from crustbreak.core.errors import CrustbreakError

MODE = 0o600
WAIT_S = 2.0


class NotRunning(CrustbreakError):
    """No lab is open in this folder."""


@contextmanager
def link_in(path: Path) -> Iterator[Callable[[str], None]]:
    """Return a way to keep the link in a file, which goes when the lab stops in good order."""
    try:
        yield lambda url: write_link(path, url)
    finally:
        path.unlink(missing_ok=True)


def write_link(path: Path, url: str) -> None:
    """Write the link as one line that only this user may read."""
    file = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, MODE)
    with open(file, "w", encoding="ascii") as line:  # noqa: PTH123
        # A file that was there before keeps the mode it had.
        path.chmod(MODE)
        line.write(f"{url}\n")


def read_link(path: Path) -> str:
    """Return the link of the lab that is open; NotRunning when none is."""
    try:
        url = path.read_text(encoding="ascii").strip()
    except (OSError, ValueError):
        url = ""
    # A lab that was killed leaves its file behind.
    if url and _is_answered(url):
        return url
    raise NotRunning(
        "The lab is not running.",
        hint="Start it with `crustbreak run`, or name its folder with --folder.",
    )


def _is_answered(url: str) -> bool:
    try:
        at = urlsplit(url)
        with socket.create_connection((at.hostname or "", at.port or 80), timeout=WAIT_S):
            return True
    except (OSError, ValueError):
        return False
