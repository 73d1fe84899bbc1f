"""A disk that takes its time: every commit that changed something waits before it is done.

Python imports this by itself when this folder is on its path; how long to wait, in ms, stands in
FLUSH_MS. The wait comes while the transaction is held, as a flush does.
"""

import os
from time import sleep
from typing import Any

FLUSH_S = float(os.environ.get("FLUSH_MS", "0")) / 1000


def slow_down(module: Any) -> None:
    """Let every connection of a driver wait at its commits."""

    class Slow(module.Connection):  # type: ignore[misc]
        """A connection to a slow disk."""

        _flushed = 0

        def commit(self) -> None:
            self._flush()
            super().commit()

        def execute(self, statement: str, *given: Any) -> Any:
            if statement == "COMMIT":
                self._flush()
            return super().execute(statement, *given)

        def _flush(self) -> None:
            if self.in_transaction and self.total_changes != self._flushed:
                self._flushed = self.total_changes
                sleep(FLUSH_S)

    fast = module.connect
    module.connect = lambda *given, **named: fast(*given, **{"factory": Slow, **named})


if FLUSH_S:
    try:
        from pysqlite3 import dbapi2
    except ImportError:
        from sqlite3 import dbapi2
    slow_down(dbapi2)
