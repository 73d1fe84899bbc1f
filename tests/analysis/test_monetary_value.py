from dataclasses import replace

import pytest

from crustbreak.analysis.monetary_value import MonetaryValue, monetary_value_of
from crustbreak.domain.records.lab_settings import LabSettings
from datasets import dataset

PAIR = {"Tarn": {"Ines": 85.0}, "Fen": {"Ines": 83.0}}


def test_a_point_is_worth_its_share_of_price_times_kilos() -> None:
    plain = dataset(PAIR)
    tarn, fen = plain.coffees
    given = replace(
        plain,
        coffees=(replace(tarn, price=7.5, kilos=600.0), replace(fen, price=12.0, kilos=60.0)),
        lab_settings=LabSettings(currency="EUR", point_worth=4.0, hour_cost=30.0),
    )

    # By hand: 7.5 x 600 x 0.04, and 12 x 60 x 0.04.
    assert monetary_value_of(given) == MonetaryValue(
        currency="EUR", per_point=(180.0, 28.8), point_worth=4.0, hour_cost=30.0
    )


@pytest.mark.parametrize("missing", [{"price": None}, {"kilos": None}])
def test_one_coffee_without_a_price_leaves_all_in_points(missing: dict[str, None]) -> None:
    plain = dataset(PAIR)
    coffees = [replace(each, price=8.0, kilos=60.0) for each in plain.coffees]
    coffees[1] = replace(coffees[1], **missing)

    assert monetary_value_of(replace(plain, coffees=tuple(coffees))) is None
