"""Bowls with a number underneath, for a table that is set blind by whoever tastes at it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberedBowls:
    """Bowls of one coffee that are filled together, and then stand under one place.

    Which place that is nobody knows before the numbers are read: they are put down dry, in an
    order that nobody looks at.

    coffee_id:    what goes into them; the person who fills them has to know.
    bowls:        the numbers underneath; one bowl, or a row of several that stays together.
    order_class:  from 1; trays change places within a class alone.
    """

    coffee_id: str
    bowls: tuple[int, ...]
    order_class: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class BowlReading:
    """What was read at one place while reading of the bowl numbers.

    number:    underneath a bowl of this place; None where it could not be read.
    check:     underneath another bowl of the same row; None where there is none, or none was
               read.
    is_mixed:  the person has looked at every bowl of the row, and they are of several trays.
    """

    place_id: str
    number: int | None = None
    check: int | None = None
    is_mixed: bool = False
