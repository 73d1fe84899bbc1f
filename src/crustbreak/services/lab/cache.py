"""What was worked out lately, kept while the lab runs."""

from threading import Lock
from typing import Any

# Subjects about which something is remembered at a time.
REMEMBERED = 1000


class MemoryCache:
    """`ports.live_state.Cache` in this process."""

    def __init__(self) -> None:
        self._worked_out: dict[str, tuple[object, Any]] = {}
        self._lock = Lock()

    def recall(self, about: str, version: object) -> Any:
        """Return what was remembered about something at this version, or None."""
        with self._lock:
            found = self._worked_out.pop(about, None)
            if found is None:
                return None
            # What is asked for stays: it is put back as the newest.
            self._worked_out[about] = found
        return found[1] if found[0] == version else None

    def remember(self, about: str, version: object, what: Any) -> None:
        """Remember a result at a version; a later one replaces it."""
        with self._lock:
            self._worked_out.pop(about, None)
            self._worked_out[about] = (version, what)
            # What nobody asked for longest goes: a lab of years has more tables than open ones.
            if len(self._worked_out) > REMEMBERED:
                del self._worked_out[next(iter(self._worked_out))]
