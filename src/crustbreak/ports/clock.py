"""Time and fresh chance, handed in so that a test can say what they are."""

from datetime import datetime
from typing import Protocol


class Clock(Protocol):
    """Tells the moment."""

    def now(self) -> datetime:
        """Give the moment, UTC."""


class Dice(Protocol):
    """Makes what nobody can guess."""

    def seed(self) -> bytes:
        """Give 32 fresh bytes for a draw."""

    def secret(self) -> str:
        """Give a fresh 128-bit secret, as text fit for an address."""
