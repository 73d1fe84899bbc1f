"""A taster's judgement of one thing."""

from dataclasses import dataclass

Value = float | str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """What one taster says of one line of one place or cup in one round.

    cup:    bowl number from 1 for a line that is judged bowl by bowl, else None.
    value:  a number on the line's scale, one of its words, a text, or None: taken back.
    """

    seat_id: str
    place_id: str
    cup: int | None
    line: str
    round: str
    value: Value
