"""In which order one taster goes along the places."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class TastingOrder:
    """One taster's way along the places; places are numbered from 0, as they stand.

    It leaves out those that this taster does not taste.

    there:  in the first round, and every second one after it.
    back:   in the rounds between: the other way round, within each order class.
    """

    there: tuple[int, ...]
    back: tuple[int, ...]

    @property
    def start(self) -> int:
        """The place at which this taster begins."""
        return self.there[0]

    def in_round(self, number: int) -> tuple[int, ...]:
        """Return the order of a round, numbered from 1."""
        return self.there if number % 2 else self.back
