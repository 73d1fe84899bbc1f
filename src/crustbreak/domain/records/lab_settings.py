"""What a lab says of itself once, for all its tables."""

from dataclasses import dataclass

from crustbreak.domain.records.bowl_readings import MeasuredBowl


@dataclass(frozen=True, slots=True, kw_only=True)
class LabSettings:
    """Settings, with what holds until somebody sets them.

    anchors:      names of the tasters whose mean is the lab's scale; none: each table is on
                  the scale of its own tasters.
    currency:     in which prices are typed, such as USD.
    point_worth:  what one point is worth, in percent of a coffee's price. Our judgement, until
                  the lab has one of its own.
    hour_cost:    what an hour of one taster costs, in the currency. Our judgement, as well.
    matters_points:  a gap between two coffees that would change what is bought, points.
    protocol:     by which a table is offered to be set, as `standard/1`.
    bowl:         kind of the bowls. bowls: how many the lab owns.
    pace_s:       from one bowl to the next, pouring and breaking alike, s. skim_s: to skim one, s.
    kettles, kettle_ml, kettle_rest_ml, reheat_s:  kettles that are hot at once; one of them full
                  and what of it cannot be poured, ml; from empty to full and hot, s.
    purge_g, colour_g, loss_percent:  of a coffee, run through the grinder first and ground for the
                  colour, g; weight lost in the roast, percent.
    altitude_m, room_c, humidity_percent:  of the lab, m above the sea, degrees C, percent.
    measured:     what a thermometer found, of each kind of bowl the last; kept apart from what is
                  typed.
    """

    anchors: tuple[str, ...] = ()
    currency: str = "USD"
    point_worth: float = 5.0
    hour_cost: float = 40.0
    matters_points: float = 2.0
    protocol: str = "standard/1"
    bowl: str = "standard glass"
    bowls: float = 60
    pace_s: float = 8
    skim_s: float = 5
    kettles: float = 1
    kettle_ml: float = 1000
    kettle_rest_ml: float = 50
    reheat_s: float = 180
    purge_g: float = 5
    colour_g: float = 10
    loss_percent: float = 13
    altitude_m: float = 0
    room_c: float = 22
    humidity_percent: float = 50
    measured: tuple[MeasuredBowl, ...] = ()


# What holds until a lab has said anything.
SHIPPED = LabSettings()
