"""What the host's pages say of the order of tasting."""

from collections.abc import Mapping
from dataclasses import asdict
from itertools import groupby

from crustbreak.domain.planning.layout.order_designs import Balance
from crustbreak.domain.planning.layout.taster_shares import evenness_of
from crustbreak.domain.planning.layout.tasting_orders import (
    Starts,
    balance_of,
    goes_round,
    starts_of,
)
from crustbreak.domain.records.tables import Place, Table
from crustbreak.ports.lab import Lab
from crustbreak.reports.text import format_list, format_shares


def tasting_orders_text(table: Table) -> str:
    """Return where each taster begins and how evenly that is shared out.

    Empty on an older table.
    """
    begun = [(seat.taster, seat.tasting_order) for seat in table.seats if seat.tasting_order]
    if not begun:
        return ""
    said = [
        f"{taster} at {table.places[tasting_order.start].code}" for taster, tasting_order in begun
    ]
    where = f"Begin: {format_list(said)}; every second round goes back the other way."
    shares = evenness_of([tasting_order for _, tasting_order in begun], codes=len(table.blind))
    if shares:
        return f"{where} {format_shares(asdict(shares))}"
    if len(begun) < 2:
        return where
    tasting_orders = [tasting_order for _, tasting_order in begun]
    shared = starts_text(starts_of(tasting_orders), len(begun))
    balanced = "" if goes_round(tasting_orders) else balance_text(balance_of(tasting_orders))
    return " ".join(said for said in (where, shared, balanced) if said)


def balance_text(found: Balance) -> str:
    """Return in words how balanced ways are that do not go round.

    >>> balance_text(Balance(positions=0, followers=0))
    'Each code comes right after each other equally often, and equally often at each turn.'
    """
    if found.followers == 0:
        after = "Each code comes right after each other equally often"
    else:
        after = (
            "How often a code comes right after another differs by "
            f"{'at most ' if found.followers > 1 else ''}{found.followers}"
        )
    if found.positions == 0:
        return f"{after}, and equally often at each turn."
    return f"{after}; how often at each turn by {found.positions}."


def starts_text(starts: Starts, tasters: int) -> str:
    """Return for how many tasters each code comes first; nothing where no two codes share a class.

    >>> starts_text(Starts(fewest=0, most=1, classes=1), 2)
    'Each code comes first for 0 or 1 of the 2 tasters.'
    """
    if starts.fewest == tasters:
        return ""
    joint = "or" if starts.most == starts.fewest + 1 else "to"
    often = f"{starts.fewest} {joint} {starts.most}"
    if starts.most == starts.fewest:
        often = str(starts.most)
    each = "Where a class holds several codes, each" if starts.classes > 1 else "Each code"
    return f"{each} comes first for {often} of the {tasters} tasters."


def places_by_class(
    lab: Lab, table: Table, names: Mapping[str, str]
) -> list[tuple[int, list[Place]]]:
    """Return the places as they stand, class by class, with the number of the class.

    Args:  names: place id to coffee's name, as the card has them.
    """
    coffees = lab.repository.read(lambda records: records.coffees(table.id))
    class_of = {coffee.name: coffee.order_class for coffee in coffees}
    by_class = groupby(table.places, key=lambda place: class_of[names[place.id]])
    return [(number, list(places)) for number, places in by_class]
