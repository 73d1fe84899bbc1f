"""The one thread that writes to a file.

Flushing to disk is what a write costs, so one flush serves everybody who waits: all that is
queued goes into one transaction. Each piece of work runs in a savepoint of its own, so that a
failure undoes that piece and nothing else. A caller is answered after the commit.

One connection, too, because older SQLite can lose its write-ahead log when two of them write
or check-point in the same moment.
"""

from collections.abc import Callable
from concurrent.futures import Future
from threading import Condition, Thread, current_thread
from typing import Any, TypeVar

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError

from crustbreak.store.errors import closed, not_kept

T = TypeVar("T")


class Writer:
    """Runs pieces of work, group by group, on one connection in one thread."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._queue: list[_Piece] = []
        self._closing = False
        self._change = Condition()
        # Daemon: a process that never came to close has acknowledged nothing that is queued.
        self._thread = Thread(target=self._serve, name="crustbreak-writer", daemon=True)
        self._thread.start()

    def run(self, work: Callable[[Connection], T]) -> T:
        """Do a piece of work and give its answer when it is on disk.

        Raises:  what the work raised, with nothing of it kept; NotKept when the disk failed;
                 Closed after `close`.
        """
        if current_thread() is self._thread:
            raise RuntimeError("a piece of work cannot wait for another: it holds the writer")
        answer: T = self.submit(work).result()
        return answer

    def submit(self, work: Callable[[Connection], T]) -> "Future[T]":
        """Queue a piece of work; its answer comes when it is on disk, in the writer's thread.

        Raises:  Closed after `close`; whatever `run` raises else comes as the answer.
        """
        piece = _Piece(work)
        with self._change:
            if self._closing:
                raise closed()
            self._queue.append(piece)
            self._change.notify_all()
        return piece.answer

    def close(self) -> None:
        """Finish what is queued, then let the connection go."""
        with self._change:
            self._closing = True
            self._change.notify_all()
        self._thread.join()
        self._engine.dispose()

    def _serve(self) -> None:
        while group := self._next_group():
            self._keep(group)

    def _next_group(self) -> "list[_Piece]":
        with self._change:
            self._change.wait_for(lambda: self._queue or self._closing)
            group, self._queue = self._queue, []
            return group

    def _keep(self, group: "list[_Piece]") -> None:
        # Taken anew for each group: a `Connection` that leaked out of its work is dead then.
        try:
            with self._engine.connect() as connection, connection.begin():
                for piece in group:
                    piece.attempt(connection)
        # Whatever it is: who is not answered now waits for ever.
        except Exception as error:  # noqa: BLE001
            for piece in group:
                piece.fail(error)
        for piece in group:
            piece.settle()


class _Piece:
    """A piece of work, who waits for it, and how it went so far."""

    def __init__(self, work: Callable[[Connection], Any]) -> None:
        self.answer: Future[Any] = Future()
        # Who waits may go away; the work is done all the same, and its answer has a place.
        self.answer.set_running_or_notify_cancel()
        self._work = work
        self._given: Any = None
        self._fault: BaseException | None = None

    def attempt(self, connection: Connection) -> None:
        """Run the work; a failure is kept for its caller and undone here."""
        # In plain words: the library's own savepoint costs more than a usual piece of work.
        connection.exec_driver_sql("SAVEPOINT piece")
        try:
            self._given = self._work(connection)
        # The caller's own exception goes back to the caller, an exit included.
        except BaseException as error:  # noqa: BLE001
            self._fault = _told(error)
            # After some disk errors the whole transaction is gone and this raises: then it
            # is the group that fails.
            connection.exec_driver_sql("ROLLBACK TO SAVEPOINT piece")
        connection.exec_driver_sql("RELEASE SAVEPOINT piece")

    def fail(self, error: Exception) -> None:
        """Note that the group is not kept; an earlier fault of its own says more."""
        # One exception each: several threads raising the same one would share its traceback.
        self._fault = self._fault or _told(error)

    def settle(self) -> None:
        """Answer who waits."""
        if self._fault is None:
            self.answer.set_result(self._given)
        else:
            self.answer.set_exception(self._fault)


def _told(error: BaseException) -> BaseException:
    return not_kept(error) if isinstance(error, DBAPIError) else error
