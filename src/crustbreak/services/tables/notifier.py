"""Who listens for changes at a table, within this process."""

from collections import defaultdict
from collections.abc import Callable
from threading import Lock


class ThreadNotifier:
    """`ports.live_state.Notifier` for threads of one process."""

    def __init__(self) -> None:
        self._listeners: defaultdict[str, list[Callable[[], None]]] = defaultdict(list)
        self._lock = Lock()

    def ring(self, table_id: str) -> None:
        """Ring for all who listen for this table."""
        with self._lock:
            listeners = tuple(self._listeners.get(table_id, ()))
        for told in listeners:
            told()

    def listen(self, table_id: str, told: Callable[[], None]) -> Callable[[], None]:
        """Have `told` called at every ring; return what ends it."""
        with self._lock:
            self._listeners[table_id].append(told)

        def end() -> None:
            with self._lock:
                self._listeners[table_id].remove(told)
                if not self._listeners[table_id]:
                    del self._listeners[table_id]

        return end
