"""What a house says of itself once, for all its tables."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """Settings, with what holds until somebody sets them.

    anchors:      names of the tasters whose mean is the house's scale; none: each table is on
                  the scale of its own tasters.
    currency:     in which prices are typed, such as USD.
    point_worth:  what one point is worth, in percent of a coffee's price. Our judgement, until
                  the house has one of its own.
    hour_cost:    what an hour of one taster costs, in the currency. Our judgement, as well.
    """

    anchors: tuple[str, ...] = ()
    currency: str = "USD"
    point_worth: float = 5.0
    hour_cost: float = 40.0


# What holds until a house has said anything.
SHIPPED = House()
