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
from crustbreak.reports.text import say_list, say_shares


def say_walks(table: Table) -> str:
    """Say where each taster begins and how evenly that is shared out; empty on an older table."""
    begun = [(seat.taster, seat.walk) for seat in table.seats if seat.walk]
    if not begun:
        return ""
    said = [f"{taster} at {table.places[walk.start].code}" for taster, walk in begun]
    where = f"Begin: {say_list(said)}; every second round goes back the other way."
    shares = evenness_of([walk for _, walk in begun], codes=len(table.blind))
    if shares:
        return f"{where} {say_shares(asdict(shares))}"
    if len(begun) < 2:
        return where
    walks = [walk for _, walk in begun]
    shared = say_starts(starts_of(walks), len(begun))
    balanced = "" if goes_round(walks) else say_balance(balance_of(walks))
    return " ".join(said for said in (where, shared, balanced) if said)


def say_balance(found: Balance) -> str:
    """Say how balanced ways are that do not go round.

    >>> say_balance(Balance(positions=0, followers=0))
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


def say_starts(starts: Starts, tasters: int) -> str:
    """Say for how many tasters each code comes first; nothing where no two codes share a class.

    >>> say_starts(Starts(fewest=0, most=1, classes=1), 2)
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
    """Give the places as they stand, class by class, with the number of the class.

    Args:  names: place id to coffee's name, as the card has them.
    """
    coffees = lab.books.read(lambda books: books.coffees(table.id))
    class_of = {coffee.name: coffee.order_class for coffee in coffees}
    by_class = groupby(table.places, key=lambda place: class_of[names[place.id]])
    return [(number, list(places)) for number, places in by_class]
