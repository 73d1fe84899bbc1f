"""Quantities and how they are said."""

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.core.units import (
    CAFFEINE_DAY_MG,
    CAFFEINE_ONCE_MG,
    TASTE_BELOW_C,
    clock,
    points,
    utc_moment,
    utc_text,
)

ZONES = st.integers(-14 * 60, 14 * 60).map(lambda minutes: timezone(timedelta(minutes=minutes)))
# From year 1 to year 9999, and no zone leads out of them.
SPANS = st.timedeltas(timedelta(days=-730_000), timedelta(days=2_900_000))
MOMENTS = st.builds(
    lambda span, zone: (datetime(2000, 1, 1, tzinfo=UTC) + span).astimezone(zone), SPANS, ZONES
)


@pytest.mark.parametrize(
    ("elapsed_s", "said"),
    [
        (0, "0:00"),
        (9.99, "0:09"),
        (60, "1:00"),
        (240, "4:00"),
        (3599, "59:59"),
        (3600, "1:00:00"),
        (36_610, "10:10:10"),
        (-5, "0:00"),
    ],
)
def test_clock_counts_whole_seconds_up_from_zero(elapsed_s: float, said: str) -> None:
    assert clock(elapsed_s) == said


def test_points_round_every_tie_the_same_way() -> None:
    # Eighths are exact in binary, so these are ties: away from zero by the rule of the function.
    assert [points(value) for value in (7.875, 8.125, 8.375, 8.625)] == [
        "7.88",
        "8.13",
        "8.38",
        "8.63",
    ]


def test_points_have_two_places() -> None:
    assert [points(value) for value in (0, 84.75, 100, -4.0)] == [
        "0.00",
        "84.75",
        "100.00",
        "-4.00",
    ]


def test_moment_is_written_in_utc_to_the_millisecond() -> None:
    east = timezone(timedelta(hours=5, minutes=30))

    said = utc_text(datetime(2031, 3, 4, 1, 2, 3, 4567, tzinfo=east))

    assert said == "2031-03-03T19:32:03.004Z"


def test_first_year_is_written_with_all_its_noughts() -> None:
    """A phone whose clock was lost says such a year, and it has to be read again."""
    moment = datetime(1, 1, 2, tzinfo=UTC)

    assert utc_text(moment) == "0001-01-02T00:00:00.000Z"
    assert utc_moment(utc_text(moment)) == moment


@given(MOMENTS)
def test_moment_survives_writing_and_reading(moment: datetime) -> None:
    again = utc_moment(utc_text(moment))

    assert timedelta(0) <= moment - again < timedelta(milliseconds=1)
    assert again.utcoffset() == timedelta(0)


@given(MOMENTS, MOMENTS)
def test_texts_sort_as_their_moments(one: datetime, other: datetime) -> None:
    if utc_text(one) < utc_text(other):
        assert one < other


def test_moment_without_a_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="has no zone"):
        utc_moment("2031-03-04T09:30:00")
    with pytest.raises(ValueError, match="has no zone"):
        utc_text(datetime(2031, 3, 4, 9, 30))  # noqa: DTZ001


def test_limits_for_people_stand_below_what_was_published() -> None:
    # Drinks at 71 C and above can scald. Source: [S3], abstract.
    assert TASTE_BELOW_C < 71
    # Healthy adults: 400 mg a day, 200 mg at once. Source: [S4], abstract.
    assert (CAFFEINE_DAY_MG, CAFFEINE_ONCE_MG) == (400, 200)
