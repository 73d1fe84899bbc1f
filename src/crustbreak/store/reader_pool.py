"""Read-only connections to a file, for as many threads as ask."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Condition
from typing import TypeVar

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError

from crustbreak.store.errors import closed, not_read

T = TypeVar("T")


class Reader:
    """Answers questions, each on a state of the file that does not move meanwhile."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._asking = 0
        self._closed = False
        self._change = Condition()

    def run(self, ask: Callable[[Connection], T]) -> T:
        """Answer a question in one read transaction.

        Raises:  what `ask` raised; NotRead when the file failed; Closed after `close`.
        """
        with self._counted():
            try:
                with self._engine.connect() as connection, connection.begin():
                    return ask(connection)
            except DBAPIError as error:
                raise not_read(error) from error

    def close(self) -> None:
        """Wait for the questions under way, then let the connections go."""
        with self._change:
            self._closed = True
            self._change.wait_for(lambda: self._asking == 0)
        self._engine.dispose()

    @contextmanager
    def _counted(self) -> Iterator[None]:
        with self._change:
            if self._closed:
                raise closed()
            self._asking += 1
        try:
            yield
        finally:
            with self._change:
                self._asking -= 1
                self._change.notify_all()
