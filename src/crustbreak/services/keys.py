"""The one reader of the key.

Every look at the key goes through here: the rules are asked first, and a look before the
uncovering is written down with the name of who looked.
"""

from dataclasses import replace

from crustbreak.domain.records.keys import Key
from crustbreak.domain.records.tables import Table
from crustbreak.domain.table.blinding import Role, may_know_double, may_know_key
from crustbreak.footing.errors import NotYours
from crustbreak.ports.books import Reading, Writing
from crustbreak.ports.lab import Lab
from crustbreak.services.standing import stand


def open_key(lab: Lab, table: Table, role: Role) -> Key:
    """Give the key to a role that may know it in this state; NotYours otherwise."""
    lab.books.read(lambda books: _demand(lab, books, table, role))
    return lab.keys.open(table.id)


def open_doubles(lab: Lab, table: Table) -> tuple[tuple[str, ...], ...]:
    """Give the places that are one coffee, where several are; not which coffee.

    Raises:  NotYours unless every taster has called and the host has asked.
    """

    def ask(books: Reading) -> None:
        state = stand(lab, books, table)
        if not may_know_double(state.flight, is_shown=state.double_shown is not None):
            raise NotYours(
                "Which codes are one coffee is not told yet.",
                hint="It is told after every taster has handed in and called.",
            )

    lab.books.read(ask)
    coffee_of = lab.keys.open(table.id).coffee_of
    together: dict[str, list[str]] = {}
    for place in table.places:
        together.setdefault(coffee_of[place.id], []).append(place.id)
    return tuple(tuple(places) for places in together.values() if len(places) > 1)


def open_control(lab: Lab, table: Table) -> Key:
    """Give the key of the control's places alone; what else stands there stays sealed.

    Raises:  as `open_doubles`.
    """
    open_doubles(lab, table)
    key = lab.keys.open(table.id)
    coffees = lab.books.read(lambda books: books.coffees(table.id))
    controls = {coffee.id for coffee in coffees if coffee.is_control}
    told = {place: coffee for place, coffee in key.coffee_of.items() if coffee in controls}
    return replace(key, coffee_of=told)


def open_key_to_set(lab: Lab, table: Table) -> dict[str, str]:
    """Give code to coffee's name for the setting-up card, and write down that it was seen."""

    def look(books: Writing) -> dict[str, str]:
        _demand(lab, books, table, Role.SETTER)
        books.add_event(table.id, "key opened", at=lab.clock.now(), detail=table.setter)
        return {coffee.id: coffee.name for coffee in books.coffees(table.id)}

    names = lab.books.write(look)
    key = lab.keys.open(table.id)
    return {place.id: names[key.coffee_of[place.id]] for place in table.places}


def _demand(lab: Lab, books: Reading, table: Table, role: Role) -> None:
    state = stand(lab, books, table)
    water = any(event.kind == "poured" for event in books.events(table.id))
    if may_know_key(role, state.flight, water=water):
        return
    raise NotYours(
        "The codes are sealed since the first pour."
        if water
        else f"The codes are sealed while the table is {state.flight}.",
        hint="They get their names after every taster has handed in and called.",
    )
