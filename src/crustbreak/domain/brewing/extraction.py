"""Strength and yield of a bowl in which the grounds stay."""

from crustbreak.domain.brewing.valid_range import within

STRONGEST_PERCENT = 10


def yield_percent(strength_percent: float, *, dose_g: float, water_g: float) -> float:
    """Return how much of the coffee is dissolved, from the strength of what is in the bowl.

    EY = TDS W / (dose (1 - TDS)), since the liquid between the grounds is as strong as the one
    above them: TDS = dissolved / (W + dissolved). The formula for filter coffee, strength times
    beverage over dose, leaves the liquid between the grounds out and would say less.

    Args:     strength_percent: dissolved solids in the liquid, g in 100 g.
              dose_g: coffee, g. water_g: water poured, g, weighed and not read off as ml.
    Returns:  g in 100 g of coffee. Moisture and gas in the coffee count as coffee.
    Valid for a strength of 0 to 10; OutOfRange outside, and for no coffee or no water.
    Source:   conservation of mass, exact.

    >>> round(yield_percent(1.12, dose_g=8.25, water_g=150), 1)
    20.6
    """
    within(strength_percent, 0, STRONGEST_PERCENT, what="The strength, %")
    _weighed(dose_g, water_g)
    strength = strength_percent / 100
    return 100 * strength * water_g / (dose_g * (1 - strength))


def strength_percent(yielded_percent: float, *, dose_g: float, water_g: float) -> float:
    """Return how strong a bowl becomes when a share of its coffee is dissolved.

    TDS = EY dose / (W + EY dose), `yield_percent` turned round.

    Args:     yielded_percent: dissolved, g in 100 g of coffee. dose_g, water_g: g.
    Returns:  g in 100 g of liquid.
    Valid for 0 to 100; OutOfRange outside, and for no coffee or no water.
    Source:   conservation of mass, exact.

    >>> round(strength_percent(20, dose_g=8.25, water_g=150), 2)
    1.09
    """
    within(yielded_percent, 0, 100, what="The yield, %")
    _weighed(dose_g, water_g)
    dissolved_g = yielded_percent / 100 * dose_g
    return 100 * dissolved_g / (water_g + dissolved_g)


def _weighed(dose_g: float, water_g: float) -> None:
    within(dose_g, 0.1, 1000, what="The coffee, g")
    within(water_g, 1, 20_000, what="The water, g")
