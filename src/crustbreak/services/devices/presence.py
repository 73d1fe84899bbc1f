"""Which devices were heard lately, kept while the lab runs."""

from datetime import datetime

from crustbreak.ports.live_state import Check


class MemoryPresence:
    """`ports.live_state.Presence` in this process."""

    def __init__(self) -> None:
        self._heard: dict[str, datetime] = {}
        self._offsets: dict[str, float] = {}
        self._checks: dict[str, Check] = {}

    def hear(self, device: str, at: datetime, *, offset_ms: float | None = None) -> None:
        """Note that a device was in contact."""
        self._heard[device] = at
        if offset_ms is not None:
            self._offsets[device] = offset_ms

    def last(self, device: str) -> datetime | None:
        """Return when a device was last in contact."""
        return self._heard.get(device)

    def offset_ms(self, device: str) -> float | None:
        """Return by how much the lab's clock is ahead of the device's, as it last said."""
        return self._offsets.get(device)

    def note(self, device: str, check: Check) -> None:
        """Note what a device found when it tried itself out."""
        self._checks[device] = check

    def checked(self, device: str) -> Check | None:
        """Return what a device found, or None while it has not tried."""
        return self._checks.get(device)
