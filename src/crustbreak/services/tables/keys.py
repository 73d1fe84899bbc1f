"""The one reader of the key.

Every look at the key goes through here: the rules are asked first, and a look before the
uncovering is written down with the name of who looked.
"""

from dataclasses import replace

from crustbreak.core.errors import NotNow, NotYours
from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.keys import Key
from crustbreak.domain.records.numbered_bowls import Tray
from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.blinding import Role, may_know_double, may_know_key
from crustbreak.domain.tables.bowl_numbers import WashedUp, wash_up
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import Reading, Writing
from crustbreak.services.tables.state import stand


def open_key(lab: Lab, table: Table, role: Role) -> Key:
    """Give the key to a role that may know it in this state; NotYours otherwise."""
    lab.books.read(lambda books: _demand(lab, books, table, role))
    return _key_of(lab, table)


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
    coffee_of = _key_of(lab, table).coffee_of
    together: dict[str, list[str]] = {}
    for place in table.places:
        if place.id in coffee_of:
            together.setdefault(coffee_of[place.id], []).append(place.id)
    return tuple(tuple(places) for places in together.values() if len(places) > 1)


def open_control(lab: Lab, table: Table) -> Key:
    """Give the key of the control's places alone; what else stands there stays sealed.

    Raises:  as `open_doubles`.
    """
    open_doubles(lab, table)
    key = _key_of(lab, table)
    coffees = lab.books.read(lambda books: books.coffees(table.id))
    controls = {coffee.id for coffee in coffees if coffee.is_control}
    told = {place: coffee for place, coffee in key.coffee_of.items() if coffee in controls}
    return replace(key, coffee_of=told)


def open_key_to_set(lab: Lab, table: Table) -> dict[str, str]:
    """Give place to coffee's name for the setting-up card, and write down that it was seen."""
    if table.is_numbered:
        raise NotNow(
            "Nobody knows yet what will stand where: the bowls are numbered.",
            hint="Fill them by the filling card, then shuffle them dry.",
        )

    def look(books: Writing) -> dict[str, str]:
        _demand(lab, books, table, Role.SETTER)
        books.add_event(table.id, "key opened", at=lab.clock.now(), detail=table.setter)
        return {coffee.id: coffee.name for coffee in books.coffees(table.id)}

    names = lab.books.write(look)
    key = lab.keys.open(table.id)
    return {place.id: names[key.coffee_of[place.id]] for place in table.places}


def trays_to_fill(lab: Lab, table: Table) -> tuple[tuple[Tray, Coffee], ...]:
    """Give what goes into which numbered bowls, which tells nothing of where they will stand.

    Raises:  NotNow at a table that is set by a key.
    """
    if not table.is_numbered:
        raise NotNow("The bowls of this table have no numbers.", hint="It is set by the card.")

    def ask(books: Reading) -> tuple[tuple[Tray, Coffee], ...]:
        named = {coffee.id: coffee for coffee in books.coffees(table.id)}
        return tuple((tray, named[tray.coffee_id]) for tray in books.trays(table.id))

    return lab.books.read(ask)


def open_coffee(lab: Lab, table: Table) -> Coffee | None:
    """Give the coffee of the bowl that stands open on a table; None where there is none."""
    if len(table.blind) == len(table.places):
        return None
    return lab.books.read(lambda books: books.coffees(table.id))[0]


def washed_up(lab: Lab, table: Table) -> WashedUp | None:
    """Give what the numbers under the bowls told, by the last reading; None before there is one.

    Raises:  NotYours while codes are sealed.
    """
    lab.books.read(lambda books: _demand(lab, books, table, Role.HOST))
    return lab.books.read(lambda books: _washed_up(books, table))


def _washed_up(books: Reading, table: Table) -> WashedUp | None:
    read = [act.readings for act in books.events(table.id) if act.kind == "bowls read"]
    if not read:
        return None
    return wash_up(table.blind, books.trays(table.id), read[-1] or ())


def _key_of(lab: Lab, table: Table) -> Key:
    """Give the key from its store, or from what was read under the bowls."""
    if not table.is_numbered:
        return lab.keys.open(table.id)
    washed = lab.books.read(lambda books: _washed_up(books, table))
    if washed is None:
        raise NotYours(
            "Nobody knows yet what stands where: the numbers under the bowls are not read.",
            hint="Read them while washing up, after every taster has called.",
        )
    return Key(coffee_of=washed.coffee_of, seed="")


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
