"""What the host reads of the order of tasting."""

from dataclasses import replace

import pytest
from at_the_table import planned

from crustbreak.domain.planning.layout.order_designs import Balance
from crustbreak.domain.planning.layout.tasting_orders import Starts
from crustbreak.domain.records.tables import Table
from crustbreak.domain.records.tasting_orders import TastingOrder
from crustbreak.ports.lab import Lab
from crustbreak.services.tables.keys import open_key_to_set
from crustbreak.web.host.plan.orders import (
    balance_text,
    places_by_class,
    starts_text,
    tasting_orders_text,
)
from tables import table as a_table


def walking(*tasting_orders: TastingOrder | None) -> Table:
    table = a_table("Ines", "Tomas")
    seats = zip(table.seats, tasting_orders, strict=False)
    return replace(
        table,
        seats=tuple(replace(seat, tasting_order=tasting_order) for seat, tasting_order in seats),
    )


TO_THE_RIGHT = TastingOrder(there=(0, 1, 2), back=(2, 1, 0))
FROM_THE_LAST = TastingOrder(there=(2, 0, 1), back=(1, 0, 2))


def test_says_where_each_taster_begins_and_how_that_is_shared_out() -> None:
    assert tasting_orders_text(walking(TO_THE_RIGHT, FROM_THE_LAST)) == (
        "Begin: Ines at 527 and Tomas at 396; every second round goes back the other way."
        " Each code comes first for 0 or 1 of the 2 tasters."
    )


def test_one_taster_alone_shares_nothing_out() -> None:
    assert tasting_orders_text(walking(FROM_THE_LAST)) == (
        "Begin: Ines at 396; every second round goes back the other way."
    )


def test_an_older_table_says_nothing_of_it() -> None:
    assert tasting_orders_text(walking(None, None)) == ""


@pytest.mark.parametrize(
    ("starts", "said"),
    [
        ((1, 1, 1), "Each code comes first for 1 of the 4 tasters."),
        ((0, 1, 1), "Each code comes first for 0 or 1 of the 4 tasters."),
        (
            (0, 2, 2),
            "Where a class holds several codes, each comes first for 0 to 2 of the 4 tasters.",
        ),
        ((4, 4, 3), ""),
    ],
)
def test_says_for_how_many_each_code_comes_first(starts: tuple[int, int, int], said: str) -> None:
    fewest, most, classes = starts

    assert starts_text(Starts(fewest=fewest, most=most, classes=classes), 4) == said


def test_the_card_gives_places_class_by_class(lab: Lab) -> None:
    table = planned(lab, order_classes=(2, 1, 2))
    names = open_key_to_set(lab, table)

    found = places_by_class(lab, table, names)

    assert [number for number, _ in found] == [1, 2]
    assert [place for _, places in found for place in places] == list(table.places)
    assert [names[place.id] for place in found[0][1]] == ["Sallow Bridge"]


def test_says_how_balanced_ways_are_that_do_not_go_round(lab: Lab) -> None:
    tasters = ("Ines", "Tomas", "Wren", "Odile", "Anouk", "Mona")

    table = planned(lab, tasters=tasters, balanced=True)

    # Three codes and six tasters: the whole design, two squares of three.
    assert tasting_orders_text(table).endswith(
        "Each code comes right after each other equally often, and equally often at each turn."
    )


@pytest.mark.parametrize(
    ("positions", "followers", "said"),
    [
        (0, 1, "differs by 1, and equally often at each turn."),
        (1, 2, "differs by at most 2; how often at each turn by 1."),
        (2, 0, "equally often; how often at each turn by 2."),
    ],
)
def test_says_how_far_from_balanced(positions: int, followers: int, said: str) -> None:
    assert balance_text(Balance(positions=positions, followers=followers)).endswith(said)
