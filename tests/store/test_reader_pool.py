from collections.abc import Iterator
from pathlib import Path
from threading import Barrier, Event, Thread

import pytest
from sqlalchemy import text

from crustbreak.store.connections import reading_engine, writing_engine
from crustbreak.store.errors import Closed, NotRead
from crustbreak.store.reader_pool import Reader

ONE = text("SELECT 1")


@pytest.fixture
def reader(tmp_path: Path) -> Iterator[Reader]:
    path = tmp_path / "some.db"
    path.touch()
    writing = writing_engine(path)
    with writing.connect() as connection, connection.begin():
        connection.execute(text("CREATE TABLE kept (word TEXT)"))
    made = Reader(reading_engine(path))
    yield made
    made.close()
    writing.dispose()


def test_many_threads_are_answered_at_once(reader: Reader) -> None:
    together = Barrier(30)
    answers = []

    def ask() -> None:
        # Nobody gets past before all of them have a connection.
        answers.append(reader.run(lambda connection: (together.wait(10), connection.scalar(ONE))))

    threads = [Thread(target=ask) for _ in range(30)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert [answer for _, answer in answers] == [1] * 30


def test_a_write_is_refused_with_a_next_step(reader: Reader) -> None:
    with pytest.raises(NotRead, match="readonly") as refused:
        reader.run(lambda connection: connection.execute(text("DELETE FROM kept")))

    assert refused.value.hint


def test_what_the_asking_function_raises_reaches_its_caller(reader: Reader) -> None:
    with pytest.raises(ZeroDivisionError):
        reader.run(lambda _: 1 // 0)

    assert reader.run(lambda connection: connection.scalar(ONE)) == 1


def test_a_question_after_the_close_is_refused(reader: Reader) -> None:
    reader.close()

    with pytest.raises(Closed):
        reader.run(lambda connection: connection.scalar(ONE))


def test_a_close_waits_for_the_question_under_way(reader: Reader) -> None:
    asked, go_on = Event(), Event()
    answers = []
    asking = Thread(
        target=lambda: answers.append(
            reader.run(lambda connection: (asked.set(), go_on.wait(10), connection.scalar(ONE))[-1])
        )
    )
    asking.start()
    asked.wait(10)
    closing = Thread(target=reader.close)
    closing.start()

    closing.join(0.05)
    assert closing.is_alive()
    go_on.set()
    closing.join(10)
    asking.join(10)

    assert answers == [1]
