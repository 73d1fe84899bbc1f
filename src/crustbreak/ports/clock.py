"""Time and fresh chance, handed in so that a test can say what they are."""

from datetime import datetime
from typing import Protocol


class Clock(Protocol):
    """Tells the moment."""

    def now(self) -> datetime:
        """Return the moment, UTC."""


class Randomness(Protocol):
    """Makes what nobody can guess."""

    def seed(self) -> bytes:
        """Return 32 fresh bytes for a draw."""

    def secret(self) -> str:
        """Return a fresh 128-bit secret, as text fit for an address."""
