"""What can be set from outside, with its defaults."""

import os
import socket
from dataclasses import dataclass
from pathlib import Path

HOST_PORT = 8770
FLOOR_PORT = 8771

# An address that is never routed (RFC 5737). Asking which way a packet to it would leave tells
# this machine's address on its network; nothing is sent.
NOWHERE = ("192.0.2.1", 9)


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Where the lab is kept and where it can be reached.

    folder:         the data folder.
    lab_name:       printed on papers.
    host_port:      the laptop's own page, reachable from the laptop alone.
    floor_port:     the phones' page, on the local network.
    floor_address:  the laptop's address on that network.
    """

    folder: Path
    lab_name: str
    host_port: int
    floor_port: int
    floor_address: str

    @property
    def host_url(self) -> str:
        """The address of the host's page."""
        return f"http://127.0.0.1:{self.host_port}/"

    def join_url(self, token: str) -> str:
        """The address by which a phone joins; the token stays on the phone, behind the #."""
        return f"http://{self.floor_address}:{self.floor_port}/#{token}"


def default_folder() -> Path:
    """Give the data folder of this user, by the platform's custom."""
    base = os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share"
    return Path(base) / "crustbreak"


def local_address() -> str:
    """Find the laptop's address on its network; its own loopback when it has none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(NOWHERE)
        except OSError:
            return "127.0.0.1"
        address: str = probe.getsockname()[0]
        return address
