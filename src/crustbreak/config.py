"""What can be set from outside, with its defaults."""

import re
import socket
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from platformdirs import user_data_path

HOST_PORT = 8770
PHONE_PORT = 8771
# So many ports are tried where the usual one is taken.
LOOK_THROUGH = 50

# An address that is never routed (RFC 5737). Asking which way a packet to it would leave tells
# this machine's address on its network; nothing is sent.
NOWHERE = ("192.0.2.1", 9)


# The laptop's own names for itself.
LOOPBACK = ("127.0.0.1", "localhost")

# One step of a name, as the naming of hosts has it (RFC 1123, section 2.1).
LABEL = re.compile(r"[a-z0-9](?:[a-z0-9-]{0,61}[a-z0-9])?")


def local_address() -> str:
    """Find the laptop's address on its network; its own loopback when it has none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(NOWHERE)
        except OSError:
            return "127.0.0.1"
        address: str = probe.getsockname()[0]
        return address


def free_ports(host: int, phones: int) -> tuple[int, int]:
    """Return the two ports if nothing listens there, else the next that are free.

    Args:  host: of the laptop's own page. phones: of the phones' page, on every address.
    """
    # The phones' own comes first: what is written down for them is read by more people.
    phones = _next_free("0.0.0.0", phones, but=host)
    return _next_free("127.0.0.1", host, but=phones), phones


def _next_free(address: str, port: int, *, but: int) -> int:
    free = (
        each for each in range(port, port + LOOK_THROUGH) if each != but and _is_free(address, each)
    )
    # With none of so many free, the first one is asked for, and its refusal says so.
    return next(free, port)


def _is_free(address: str, port: int) -> bool:
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        # As the server binds: an address that a stopped lab has just left is free.
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((address, port))
        except (OSError, OverflowError):
            return False
    return True


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Where the lab is kept and where it can be reached.

    folder:         the data folder.
    lab_name:       printed on papers.
    host_port:      the laptop's own page, reachable from the laptop alone.
    phone_port:     the phones' page, on the local network.
    phone_address:  the laptop's address on that network as it was given; empty when it is to be
                    found, anew each time it is asked, since it may change.
    find_address:   finds it.
    machine_name:   what the laptop calls itself.
    """

    folder: Path
    lab_name: str
    host_port: int
    phone_port: int
    phone_address: str = ""
    find_address: Callable[[], str] = local_address
    machine_name: str = field(default_factory=socket.gethostname)

    @property
    def host_url(self) -> str:
        """The address of the host's page."""
        return f"http://127.0.0.1:{self.host_port}/"

    @property
    def link_file(self) -> Path:
        """Where the unused link is kept while the lab is open."""
        return self.folder / "link"

    def link_url(self, link: str) -> str:
        """The address by which a browser of this laptop enters."""
        return f"{self.host_url}enter/{link}"

    def join_url(self, token: str) -> str:
        """The address by which a phone joins; the token stays on the phone, behind the #."""
        return f"{self.addresses()[0]}/#{token}"

    def here_url(self, token: str) -> str:
        """The address by which somebody tastes on the laptop itself."""
        return f"http://127.0.0.1:{self.phone_port}/#{token}"

    def addresses(self) -> list[str]:
        """The addresses of the phones' page as they are now, the likeliest first."""
        hosts = dict.fromkeys((self._address().lower(), *self._local_name()))
        return [f"http://{_in_address(host)}:{self.phone_port}" for host in hosts]

    def names(self) -> tuple[str, ...]:
        """The hosts by which the phones' page may be asked for, in lower case."""
        return (*LOOPBACK, self._address().lower(), *self._local_name())

    def _address(self) -> str:
        return self.phone_address or self.find_address()

    def _local_name(self) -> tuple[str, ...]:
        # The name that a laptop gives itself on its network (RFC 6762).
        label = self.machine_name.partition(".")[0].lower()
        return (f"{label}.local",) if LABEL.fullmatch(label) else ()


def _in_address(host: str) -> str:
    return f"[{host}]" if ":" in host else host


def default_folder() -> Path:
    """Return the data folder of this user, by the platform's custom."""
    usual = user_data_path("crustbreak", appauthor=False)
    # Where an earlier version kept it on every platform: a lab that is there stays there.
    earlier = Path.home() / ".local" / "share" / "crustbreak"
    return earlier if earlier.exists() and not usual.exists() else usual
