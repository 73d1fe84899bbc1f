"""What stands on a table under a code."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Coffee:
    """One coffee on one table.

    id:    opaque, made for this table alone, so that it tells nothing from table to table.
    name:  as the host typed it; never sent to the phone app before the uncovering.
    is_control:  well known, in frozen portions of one roast: it measures the table, and nobody
           decides about it.
    price:  of a kilo as landed, in the lab's currency; None where nobody said. As little for
           the tasters as the name.
    kilos:  how much would be bought, kg; None where nobody said.
    order_class:  from 1; a class stands and is tasted before the next, by chance within. All are
           of one where the host made no classes, or had them drawn over.
    """

    id: str
    name: str
    is_control: bool = False
    price: float | None = None
    kilos: float | None = None
    order_class: int = 1
