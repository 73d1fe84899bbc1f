"""Quantities with their units, and how they are said.

Outside this file a number wears its unit in its name: `pour_s`, `water_g`.
"""

from datetime import UTC, datetime
from decimal import ROUND_HALF_UP, Decimal

SECONDS_A_MINUTE = 60
MINUTES_AN_HOUR = 60
HUNDREDTH = Decimal("0.01")

# Above this a sip may scald: liquids served at 71-85 C have burnt drinkers. Source: [S3].
TASTE_BELOW_C = 65

# Caffeine, healthy adults: at most this in a day, and this at once. Source: [S4].
CAFFEINE_DAY_MG = 400
CAFFEINE_ONCE_MG = 200


def clock(elapsed_s: float) -> str:
    """Return in words a span of time as a table clock does.

    >>> clock(1012)
    '16:52'
    >>> clock(3725)
    '1:02:05'
    """
    whole = max(0, int(elapsed_s))
    minutes, seconds = divmod(whole, SECONDS_A_MINUTE)
    if minutes < MINUTES_AN_HOUR:
        return f"{minutes}:{seconds:02d}"
    hours, minutes = divmod(minutes, MINUTES_AN_HOUR)
    return f"{hours}:{minutes:02d}:{seconds:02d}"


def points(value: float) -> str:
    """Return in words a score: two places, as the sheet's quarters need them.

    A tie goes away from zero: means of eighths would otherwise round up here and down there.

    >>> points(84.75), points(8.0), points(8.125)
    ('84.75', '8.00', '8.13')
    """
    return str(Decimal(value).quantize(HUNDREDTH, rounding=ROUND_HALF_UP))


def utc_text(moment: datetime) -> str:
    """Write a moment as UTC to the millisecond, the one form that is stored and exchanged.

    >>> utc_text(datetime(2031, 3, 4, 9, 30, tzinfo=UTC))
    '2031-03-04T09:30:00.000Z'
    """
    # Not strftime: on some systems it writes the year 1 of a phone without a clock as "1".
    return _zoned(moment).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def utc_moment(text: str) -> datetime:
    """Read a moment written by `utc_text`; ValueError for one without its zone."""
    return _zoned(datetime.fromisoformat(text))


def _zoned(moment: datetime) -> datetime:
    if moment.tzinfo is None:
        # Python would take it for the zone of the machine, and read it differently on another.
        raise ValueError(f"{moment.isoformat()} has no zone")
    return moment.astimezone(UTC)
