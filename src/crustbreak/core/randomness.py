"""Chance that can be run again.

A draw is part of the record: the same seed gives the same codes on any machine and under any
Python version, so the stream is SHA-256 in counter mode and not the generator of a library
whose shuffle may change. Fresh seeds are made at the edge and handed in.
"""

from collections.abc import Sequence
from hashlib import sha256
from typing import TypeVar

T = TypeVar("T")


class SeededRandom:
    """A reproducible stream of draws from a seed.

    >>> SeededRandom(b"kettle").below(6) == SeededRandom(b"kettle").below(6)
    True
    """

    def __init__(self, seed: bytes) -> None:
        self._seed = seed
        self._counter = 0

    def _word(self) -> int:
        block = sha256(self._seed + self._counter.to_bytes(8, "big")).digest()
        self._counter += 1
        return int.from_bytes(block[:8], "big")

    def below(self, bound: int) -> int:
        """Draw a whole number, 0 <= n < bound, each as likely as the other."""
        if bound < 1:
            raise ValueError("bound must be at least 1")
        # Words past the last whole multiple of `bound` would favour the small numbers.
        limit = (1 << 64) - (1 << 64) % bound
        while (word := self._word()) >= limit:
            pass
        return word % bound

    def shuffled(self, items: Sequence[T]) -> tuple[T, ...]:
        """Return the items in an order drawn from all orders (Fisher and Yates)."""
        deck = list(items)
        for last in range(len(deck) - 1, 0, -1):
            swap = self.below(last + 1)
            deck[last], deck[swap] = deck[swap], deck[last]
        return tuple(deck)

    def identity(self) -> str:
        """Draw an opaque 128-bit id, as 32 hex digits."""
        return f"{self._word():016x}{self._word():016x}"
