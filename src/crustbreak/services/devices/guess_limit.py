"""Wrong join codes, counted while the lab runs."""

from datetime import datetime
from threading import Lock


class MemoryGuessLimit:
    """`ports.live_state.GuessLimit` in this process."""

    def __init__(self) -> None:
        self._wrong: list[datetime] = []
        self._lock = Lock()

    def wrong_code(self, at: datetime) -> tuple[datetime, ...]:
        """Note a wrong code, and return the moments of all since the last `forget_codes`."""
        with self._lock:
            self._wrong.append(at)
            return tuple(self._wrong)

    def forget_codes(self) -> None:
        """Begin to count wrong codes anew."""
        with self._lock:
            self._wrong.clear()
