"""The lab's short memory, kept while it runs."""

from collections import defaultdict
from collections.abc import Callable
from datetime import datetime
from threading import Lock
from typing import Any

from crustbreak.ports.hearing import Check

# Tables and devices about which something is remembered at a time.
REMEMBERED = 500


class ShortMemory:
    """`ports.hearing.Hearing` in this process."""

    def __init__(self) -> None:
        self._heard: dict[str, datetime] = {}
        self._offsets: dict[str, float] = {}
        self._checks: dict[str, Check] = {}
        self._wrong: list[datetime] = []
        self._worked_out: dict[str, tuple[object, Any]] = {}
        self._lock = Lock()

    def hear(self, device: str, at: datetime, *, offset_ms: float | None = None) -> None:
        """Note that a device was in contact."""
        self._heard[device] = at
        if offset_ms is not None:
            self._offsets[device] = offset_ms

    def last(self, device: str) -> datetime | None:
        """Give when a device was last in contact."""
        return self._heard.get(device)

    def offset_ms(self, device: str) -> float | None:
        """Give by how much the lab's clock is ahead of the device's, as it last said."""
        return self._offsets.get(device)

    def note(self, device: str, check: Check) -> None:
        """Note what a device found when it tried itself out."""
        self._checks[device] = check

    def checked(self, device: str) -> Check | None:
        """Give what a device found, or None while it has not tried."""
        return self._checks.get(device)

    def recall(self, about: str, version: object) -> Any:
        """Give what was remembered about something at this version, or None."""
        found = self._worked_out.get(about)
        return found[1] if found and found[0] == version else None

    def remember(self, about: str, version: object, what: Any) -> None:
        """Remember what was worked out about something at a version; a later one replaces it."""
        with self._lock:
            self._worked_out.pop(about, None)
            self._worked_out[about] = (version, what)
            # The oldest goes: a lab of years has more tables than it has open ones.
            if len(self._worked_out) > REMEMBERED:
                del self._worked_out[next(iter(self._worked_out))]

    def wrong_code(self, at: datetime) -> tuple[datetime, ...]:
        """Note a wrong code, and give the moments of all since the last `forget_codes`."""
        with self._lock:
            self._wrong.append(at)
            return tuple(self._wrong)

    def forget_codes(self) -> None:
        """Begin to count wrong codes anew."""
        with self._lock:
            self._wrong.clear()


class ThreadBell:
    """`ports.hearing.Bell` for threads of one process."""

    def __init__(self) -> None:
        self._listeners: defaultdict[str, list[Callable[[], None]]] = defaultdict(list)
        self._lock = Lock()

    def ring(self, table_id: str) -> None:
        """Tell all who listen for this table."""
        with self._lock:
            listeners = tuple(self._listeners.get(table_id, ()))
        for told in listeners:
            told()

    def listen(self, table_id: str, told: Callable[[], None]) -> Callable[[], None]:
        """Have `told` called at every ring; give what ends it."""
        with self._lock:
            self._listeners[table_id].append(told)

        def end() -> None:
            with self._lock:
                self._listeners[table_id].remove(told)
                if not self._listeners[table_id]:
                    del self._listeners[table_id]

        return end
