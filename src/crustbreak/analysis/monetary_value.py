"""What is at stake in money, where price and kilos of every coffee are known."""

from dataclasses import dataclass

from crustbreak.analysis.dataset import Dataset


@dataclass(frozen=True, slots=True, kw_only=True)
class MonetaryValue:
    """What a point is worth, and what an hour of tasting costs, in one currency.

    per_point:    of each coffee, in the order of the dataset: point_worth of price x kilos.
    point_worth:  percent of the price that one point is worth.
    hour_cost:    an hour of one taster.
    """

    currency: str
    per_point: tuple[float, ...]
    point_worth: float
    hour_cost: float


def monetary_value_of(dataset: Dataset) -> MonetaryValue | None:
    """Return what is at stake; None unless price and kilos of every coffee are known.

    Question answered: what does a point of regret cost. Assumes that a point is worth the same
    share of the price whatever the coffee; the lab says which.
    """
    lab_settings, values = dataset.lab_settings, []
    for coffee in dataset.coffees:
        if coffee.price is None or coffee.kilos is None:
            return None
        values.append(coffee.price * coffee.kilos * lab_settings.point_worth / 100)
    return MonetaryValue(
        currency=lab_settings.currency,
        per_point=tuple(round(value, 4) for value in values),
        point_worth=lab_settings.point_worth,
        hour_cost=lab_settings.hour_cost,
    )
