"""One taster's way along the places."""

from crustbreak.domain.records.tasting_orders import TastingOrder


def test_the_third_round_goes_as_the_first() -> None:
    tasting_order = TastingOrder(there=(2, 0, 1), back=(1, 0, 2))

    assert (tasting_order.start, tasting_order.in_round(1), tasting_order.in_round(2)) == (
        2,
        (2, 0, 1),
        (1, 0, 2),
    )
    assert tasting_order.in_round(3) == tasting_order.in_round(1)
