import sqlite3

import pytest
from sqlalchemy.exc import OperationalError

from crustbreak.store.errors import closed, database_words, hint_for, not_kept, not_read


def failure(words: str) -> OperationalError:
    return OperationalError(
        "INSERT INTO coffees", {"name": "Sidra"}, sqlite3.OperationalError(words)
    )


def test_the_words_are_the_databases_alone() -> None:
    assert database_words(failure("database is locked")) == "database is locked"


@pytest.mark.parametrize(
    ("words", "step"),
    [
        ("database or disk is full", "Make room"),
        ("database is locked", "Close any other program"),
        ("attempt to write a readonly database", "Let the user"),
        ("unable to open database file", "Look whether the lab's folder"),
        ("file is not a database", "from a backup"),
        ("database disk image is malformed", "from a backup"),
        ("disk I/O error", "Look after the disk"),
        ("something never heard of", "Stop the lab"),
    ],
)
def test_each_failure_has_a_next_step(words: str, step: str) -> None:
    assert step in hint_for(failure(words))


def test_a_failed_write_says_why_what_to_do_and_what_is_safe() -> None:
    told = not_kept(failure("database or disk is full"))

    assert told.message == "This could not be kept: database or disk is full."
    assert told.hint.startswith("Make room")
    assert told.hint.endswith("What was kept before is safe.")
    assert told.status == 503


def test_a_failed_reading_says_why_and_what_to_do() -> None:
    told = not_read(failure("disk I/O error"))

    assert told.message == "This could not be read: disk I/O error."
    assert told.hint


def test_closed_books_say_so() -> None:
    assert "closed" in closed().message
