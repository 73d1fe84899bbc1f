"""Codes by which a device finds its table, made to be read off a screen and typed with a thumb.

A QR code carries a token that nobody can guess. A typed code is short, so that it holds only
while joining is open, and wrong guesses wear it out.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta

from crustbreak.core.randomness import SeededRandom
from crustbreak.domain.tables.transitions import FlightState

# Digits and letters without 0, 1, I, L and O, which are taken for each other.
SIGNS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
CODE_LENGTH = 6

# So many wrong codes within so long a time, and the code is replaced.
WRONG_CODES = 10
WRONG_WITHIN = timedelta(minutes=10)

# A pass is used once, by the device that lies there waiting for it.
PASS_LASTS = timedelta(minutes=10)

JOINING_STATES = frozenset(
    {FlightState.PLANNED, FlightState.SET, FlightState.UNDER_WAY, FlightState.HANDED_IN}
)


def draw_code(chance: SeededRandom) -> str:
    """Draw a code to be typed; one of 31^6, about 890 million."""
    return "".join(SIGNS[chance.below(len(SIGNS))] for _ in range(CODE_LENGTH))


def read_code(typed: str) -> str:
    """Return what was typed as it would be drawn: capitals, without blanks and hyphens.

    >>> read_code(" k7q-2mv ")
    'K7Q2MV'
    """
    return "".join(sign for sign in typed.upper() if sign in SIGNS)


def is_worn_out(wrong_at: Sequence[datetime], now: datetime) -> bool:
    """Return whether so many wrong codes came lately that the code must be replaced.

    Args:  wrong_at: moments of the wrong codes since the code was made.
    """
    return sum(now - moment < WRONG_WITHIN for moment in wrong_at) >= WRONG_CODES


def is_pass_open(made_at: datetime, now: datetime) -> bool:
    """Return whether a pass made then still opens."""
    return now - made_at < PASS_LASTS


def paper_code(seat_id: str, position: int) -> str:
    """Return what a taster writes on a sheet of paper, so that it can be typed in as theirs.

    Three signs, the first of them the seat's own at its table.

    Args:    seat_id: opaque, 32 hex digits. position: of the seat at the table, from 0, below 31.
    """
    chance = SeededRandom(f"paper {seat_id}".encode())
    rest = "".join(SIGNS[chance.below(len(SIGNS))] for _ in range(2))
    return SIGNS[position % len(SIGNS)] + rest
