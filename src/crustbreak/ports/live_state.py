"""What the lab knows only while it runs: who was heard lately, what was worked out, who waits."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Protocol


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """What a device found when it tried itself out.

    keeps:          its store keeps an entry and gives it back.
    streams:        it hears of a change without asking.
    round_trip_ms:  how long the lab took to answer, there and back.
    offset_ms:      the lab's clock minus the device's.
    """

    keeps: bool
    streams: bool
    round_trip_ms: float
    offset_ms: float


class Presence(Protocol):
    """Devices by the hash of their secret; a restart forgets, and devices speak up again."""

    def hear(self, device: str, at: datetime, *, offset_ms: float | None = None) -> None:
        """Note that a device was in contact."""

    def last(self, device: str) -> datetime | None:
        """Return when a device was last in contact."""

    def offset_ms(self, device: str) -> float | None:
        """Return by how much the lab's clock is ahead of the device's, as it last said."""

    def note(self, device: str, check: Check) -> None:
        """Note what a device found when it tried itself out."""

    def checked(self, device: str) -> Check | None:
        """Return what a device found, or None while it has not tried."""


class Cache(Protocol):
    """Results that are costly to work out, each under the version of what it came from."""

    def recall(self, about: str, version: object) -> Any:
        """Return what was remembered about something at this version, or None."""

    def remember(self, about: str, version: object, what: Any) -> None:
        """Remember a result at a version; a later one replaces it."""


class GuessLimit(Protocol):
    """Counts wrong join codes."""

    def wrong_code(self, at: datetime) -> tuple[datetime, ...]:
        """Note a wrong code, and return the moments of all since the last `forget_codes`."""

    def forget_codes(self) -> None:
        """Begin to count wrong codes anew."""


class Notifier(Protocol):
    """Tells who listens that something at a table has changed which others need to see."""

    def ring(self, table_id: str) -> None:
        """Ring for all who listen for this table; from any thread."""

    def listen(self, table_id: str, told: Callable[[], None]) -> Callable[[], None]:
        """Have `told` called at every ring, in the ringing thread; return what ends it."""
