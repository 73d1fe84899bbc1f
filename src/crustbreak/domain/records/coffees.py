"""What stands on a table under a code."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Coffee:
    """One coffee on one table.

    id:    opaque, made for this table alone, so that it tells nothing from table to table.
    name:  as the host typed it; never sent to the floor before the uncovering.
    is_control:  well known, in frozen portions of one roast: it measures the table, and nobody
           decides about it.
    """

    id: str
    name: str
    is_control: bool = False
