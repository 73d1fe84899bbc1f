from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Event, Thread
from time import monotonic, sleep
from typing import Any

import pytest
from sqlalchemy import Connection, Engine, text
from sqlalchemy.exc import IntegrityError, ResourceClosedError

from crustbreak.core.errors import NotNow
from crustbreak.store.connections import sqlite_module, writing_engine
from crustbreak.store.errors import Closed, NotKept
from crustbreak.store.writer import Writer

Work = Callable[[Connection], Any]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    made = tmp_path / "some.db"
    made.touch()
    return made


@pytest.fixture
def engine(path: Path) -> Engine:
    made = writing_engine(path)
    with made.connect() as connection, connection.begin():
        connection.execute(text("CREATE TABLE kept (word TEXT UNIQUE)"))
        connection.execute(
            text(
                "CREATE TABLE owned (word TEXT REFERENCES kept(word) DEFERRABLE INITIALLY DEFERRED)"
            )
        )
    return made


@pytest.fixture
def writer(engine: Engine) -> Iterator[Writer]:
    made = Writer(engine)
    yield made
    made.close()


def keep(word: str) -> Work:
    def work(connection: Connection) -> str:
        connection.execute(text("INSERT INTO kept VALUES (:word)"), {"word": word})
        return word

    return work


def keep_then(word: str, error: BaseException) -> Work:
    def work(connection: Connection) -> None:
        keep(word)(connection)
        raise error

    return work


def kept(writer: Writer) -> set[str]:
    return set(writer.run(lambda connection: connection.scalars(text("SELECT word FROM kept"))))


def pragma(writer: Writer, setting: str) -> None:
    writer.run(lambda connection: connection.exec_driver_sql(f"PRAGMA {setting}").all())


def in_one_group(writer: Writer, *works: Work) -> list[Any]:
    """Queue all works while the writer is busy; give each one's answer or exception."""
    busy, go_on = Event(), Event()
    answers: list[Any] = [None] * len(works)

    def ask(place: int, work: Work) -> None:
        try:
            answers[place] = writer.run(work)
        except BaseException as error:  # noqa: BLE001 - it is the answer
            answers[place] = error

    def occupy(_connection: Connection) -> None:
        busy.set()
        go_on.wait(10)

    first = Thread(target=writer.run, args=(occupy,))
    first.start()
    busy.wait(10)
    threads = [Thread(target=ask, args=each) for each in enumerate(works)]
    for number, thread in enumerate(threads, start=1):
        thread.start()
        end = monotonic() + 10
        while len(writer._queue) < number and monotonic() < end:
            sleep(0.001)
    go_on.set()
    for thread in (first, *threads):
        thread.join(10)
    return answers


def test_a_piece_of_work_is_answered_when_it_is_kept(writer: Writer, path: Path) -> None:
    assert writer.run(keep("plum")) == "plum"

    conditions = sqlite_module().connect(path)
    assert conditions.execute("SELECT word FROM kept").fetchall() == [("plum",)]
    conditions.close()


def test_who_goes_away_before_the_answer_stops_nobody(writer: Writer) -> None:
    answer = writer.submit(keep("plum"))

    # A request that is broken off takes back what it waits for.
    assert not answer.cancel()
    assert answer.result(10) == "plum"
    assert writer.run(keep("lime")) == "lime"
    assert kept(writer) == {"plum", "lime"}


def test_all_that_waits_goes_into_one_commit(writer: Writer, counted: Callable[..., Any]) -> None:
    with counted("commit") as commits:
        answers = in_one_group(writer, *(keep(str(word)) for word in range(20)))

    assert answers == [str(word) for word in range(20)]
    # One for the work that kept the writer busy, one for all the rest.
    assert len(commits) == 2


def test_one_failure_undoes_only_itself(writer: Writer) -> None:
    answers = in_one_group(
        writer, keep("a"), keep_then("b", NotNow("Not now.", hint="Later.")), keep("c")
    )

    assert [answers[0], answers[2]] == ["a", "c"]
    assert isinstance(answers[1], NotNow)
    assert kept(writer) == {"a", "c"}


def test_a_failed_statement_undoes_only_its_own_work(writer: Writer) -> None:
    answers = in_one_group(writer, keep("a"), keep("a"), keep("b"))

    assert [answers[0], answers[2]] == ["a", "b"]
    assert isinstance(answers[1], NotKept)
    assert kept(writer) == {"a", "b"}


def test_a_work_may_go_on_after_a_statement_it_expected_to_fail(writer: Writer) -> None:
    def work(connection: Connection) -> None:
        keep("a")(connection)
        with pytest.raises(IntegrityError):
            keep("a")(connection)
        keep("b")(connection)

    writer.run(work)

    assert kept(writer) == {"a", "b"}


def test_a_later_work_of_a_group_sees_the_earlier_ones(writer: Writer) -> None:
    answers = in_one_group(
        writer, keep("a"), lambda connection: connection.scalar(text("SELECT word FROM kept"))
    )

    assert answers == ["a", "a"]


@pytest.mark.parametrize("error", [ZeroDivisionError("x"), KeyboardInterrupt(), SystemExit(3)])
def test_an_exception_reaches_its_caller_and_nothing_stays(
    writer: Writer, error: BaseException
) -> None:
    with pytest.raises(type(error)) as raised:
        writer.run(keep_then("gone", error))

    assert raised.value is error
    assert kept(writer) == set()


def test_a_failing_commit_is_told_to_everybody_and_the_thread_lives_on(writer: Writer) -> None:
    # Checked at the commit, and so the commit fails and not a statement.
    orphan = text("INSERT INTO owned VALUES ('nobody')")

    answers = in_one_group(writer, keep("a"), lambda connection: connection.execute(orphan))

    assert [type(answer) for answer in answers] == [NotKept, NotKept]
    assert answers[0] is not answers[1]
    assert writer.run(keep("b")) == "b"
    assert kept(writer) == {"b"}


def test_who_failed_alone_keeps_its_own_reason_when_the_commit_fails(writer: Writer) -> None:
    orphan = text("INSERT INTO owned VALUES ('nobody')")

    answers = in_one_group(
        writer,
        keep_then("a", ZeroDivisionError()),
        lambda connection: connection.execute(orphan),
    )

    assert [type(answer) for answer in answers] == [ZeroDivisionError, NotKept]


def test_a_full_disk_is_told_with_a_hint_and_room_mends_it(writer: Writer) -> None:
    writer.run(keep("before"))
    pragma(writer, "max_page_count=10")

    with pytest.raises(NotKept, match="full") as refused:
        writer.run(keep("x" * 100_000))

    assert "Make room" in refused.value.hint
    assert writer.run(keep("small")) == "small"
    pragma(writer, "max_page_count=1000000")
    writer.run(keep("y" * 100_000))
    assert kept(writer) == {"before", "small", "y" * 100_000}


def test_a_full_disk_answers_everybody_of_the_group(writer: Writer) -> None:
    pragma(writer, "max_page_count=10")

    answers = in_one_group(writer, keep("a"), keep("x" * 100_000), keep("b"))

    assert isinstance(answers[1], NotKept)
    words = {answer for answer in answers if isinstance(answer, str)}
    assert kept(writer) == words


def test_a_lock_of_another_program_is_told_with_a_hint(writer: Writer, path: Path) -> None:
    pragma(writer, "busy_timeout=20")
    other = sqlite_module().connect(path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")

    with pytest.raises(NotKept, match="locked") as refused:
        writer.run(keep("a"))

    other.close()
    assert "other program" in refused.value.hint
    assert writer.run(keep("b")) == "b"


def test_a_close_finishes_what_is_queued(writer: Writer, path: Path) -> None:
    busy, go_on = Event(), Event()
    answers: list[str] = []
    first = Thread(target=writer.run, args=(lambda _connection: (busy.set(), go_on.wait(10)),))
    first.start()
    busy.wait(10)
    second = Thread(target=lambda: answers.append(writer.run(keep("queued"))))
    second.start()
    end = monotonic() + 10
    while not writer._queue and monotonic() < end:
        sleep(0.001)
    closing = Thread(target=writer.close)
    closing.start()
    go_on.set()
    for thread in (closing, first, second):
        thread.join(10)

    assert answers == ["queued"]
    conditions = sqlite_module().connect(path)
    assert conditions.execute("SELECT word FROM kept").fetchall() == [("queued",)]
    conditions.close()


def test_a_write_after_the_close_is_refused(writer: Writer) -> None:
    writer.close()

    with pytest.raises(Closed):
        writer.run(keep("late"))


def test_closing_twice_is_no_fault(writer: Writer) -> None:
    writer.close()
    writer.close()


def test_a_work_that_waits_for_another_is_refused_and_does_not_hang(writer: Writer) -> None:
    with pytest.raises(RuntimeError, match="holds the writer"):
        writer.run(lambda _connection: writer.run(keep("inner")))


def test_a_connection_that_leaked_out_of_its_work_is_dead(writer: Writer) -> None:
    leaked = writer.run(lambda connection: connection)

    with pytest.raises(ResourceClosedError):
        keep("stray")(leaked)
