"""One taster's way along the places."""

from crustbreak.domain.records.tasting_orders import Walk


def test_the_third_round_goes_as_the_first() -> None:
    walk = Walk(there=(2, 0, 1), back=(1, 0, 2))

    assert (walk.start, walk.in_round(1), walk.in_round(2)) == (2, (2, 0, 1), (1, 0, 2))
    assert walk.in_round(3) == walk.in_round(1)
