from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import Column, Connection, MetaData, Table, create_engine, insert, select, text
from sqlalchemy.exc import StatementError

from crustbreak.store.columns import Json, Utc, Words

TABLE = Table(
    "kept", MetaData(), Column("words", Words), Column("moment", Utc), Column("json", Json)
)


@pytest.fixture(scope="module")
def connection() -> Iterator[Connection]:
    engine = create_engine("sqlite://")
    with engine.connect() as opened:
        TABLE.create(opened)
        yield opened
    engine.dispose()


def there_and_back(connection: Connection, column: str, value: object) -> Any:
    connection.execute(TABLE.delete())
    connection.execute(insert(TABLE), {column: value})
    return connection.scalar(select(TABLE.c[column]))


@settings(deadline=None)
@given(words=st.none() | st.text())
def test_words_come_back_as_they_were(connection: Connection, words: str | None) -> None:
    assert there_and_back(connection, "words", words) == words


def test_half_a_surrogate_pair_is_written_out_and_the_rest_stays(connection: Connection) -> None:
    assert there_and_back(connection, "words", "ripe \ud83c plum") == "ripe \\ud83c plum"


@settings(deadline=None)
@given(
    moment=st.datetimes(
        min_value=datetime(1, 1, 2),  # noqa: DTZ001 - the strategy adds the zone
        max_value=datetime(9999, 12, 30),  # noqa: DTZ001
        timezones=st.sampled_from((UTC, timezone(timedelta(hours=-7)))),
    )
)
def test_a_moment_comes_back_in_utc_to_the_millisecond(
    connection: Connection, moment: datetime
) -> None:
    read = there_and_back(connection, "moment", moment)

    assert read.utcoffset() == timedelta(0)
    assert timedelta(0) <= moment - read < timedelta(milliseconds=1)


def test_moments_sort_as_text(connection: Connection) -> None:
    connection.execute(TABLE.delete())
    moments = [datetime(year, 5, 1, tzinfo=UTC) for year in (2030, 7, 1999)]
    connection.execute(insert(TABLE), [{"moment": moment} for moment in moments])

    read = connection.scalars(select(TABLE.c.moment).order_by(TABLE.c.moment)).all()

    assert [moment.year for moment in read] == [7, 1999, 2030]


def test_a_moment_without_a_zone_is_refused(connection: Connection) -> None:
    with pytest.raises(StatementError, match="no zone"):
        there_and_back(connection, "moment", datetime(2030, 1, 31))  # noqa: DTZ001 - the fault


def test_no_moment_stays_none(connection: Connection) -> None:
    assert there_and_back(connection, "moment", None) is None


@pytest.mark.parametrize(
    "value",
    [None, 8, 8.0, 7.75, -0.0, 2**53, "", "Ananas", "\x00", "\ud83c", "'); DROP TABLE kept", [1]],
)
def test_json_comes_back_as_the_same_kind_of_value(connection: Connection, value: object) -> None:
    read = there_and_back(connection, "json", value)

    assert read == value
    assert type(read) is type(value)


def test_json_is_kept_as_plain_ascii(connection: Connection) -> None:
    there_and_back(connection, "json", "Säure")

    assert connection.scalar(text("SELECT json FROM kept")) == '"S\\u00e4ure"'
