"""The one reader of the key.

Every look at the key goes through here: the rules are asked first, and a look before the
uncovering is written down with the name of who looked.
"""

from collections.abc import Mapping
from dataclasses import replace

from crustbreak.core.errors import NotNow, NotThere, NotYours
from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.keys import Key
from crustbreak.domain.records.numbered_bowls import NumberedBowls
from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.blinding import Role, may_know_duplicate, may_know_key
from crustbreak.domain.tables.bowl_numbers import BowlIdentities, identify_bowls
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import ReadAccess, WriteAccess
from crustbreak.services.tables.planned import coffees_of
from crustbreak.services.tables.state import TableSnapshot, snapshot


def open_key(lab: Lab, table: Table, role: Role) -> Key:
    """Return the key to a role that may know it in this state; NotYours otherwise."""
    found = lab.repository.read(lambda records: snapshot(lab, records, table))
    return open_keys(lab, {table.id: table}, {table.id: found}, role)[table.id]


def open_keys(
    lab: Lab, tables: Mapping[str, Table], found: Mapping[str, TableSnapshot], role: Role
) -> dict[str, Key]:
    """Return the keys of tables, each as it stands; NotYours where a role may not know one."""
    for each in tables:
        _demand(found[each], role)
    numbered = [each for each, table in tables.items() if table.is_numbered]
    numbered_bowls = (
        lab.repository.read(lambda records: records.trays_of(numbered)) if numbered else {}
    )
    sealed = [each for each in tables if each not in numbered_bowls]
    keys = dict(lab.keys.open_all(sealed)) if sealed else {}
    for each in sealed:
        if each not in keys:
            raise NotThere("There is no key of such a table.", hint="Look at the list of tables.")
    return keys | {
        each: _read_key(tables[each], found[each], numbered_bowls[each]) for each in numbered_bowls
    }


def open_duplicates(lab: Lab, table: Table) -> tuple[tuple[str, ...], ...]:
    """Return the places that are one coffee, where several are; not which coffee.

    Raises:  NotYours unless every taster has called and the host has asked.
    """
    coffee_of = _key_of_double(lab, table).coffee_of
    together: dict[str, list[str]] = {}
    for place in table.places:
        if place.id in coffee_of:
            together.setdefault(coffee_of[place.id], []).append(place.id)
    return tuple(tuple(places) for places in together.values() if len(places) > 1)


def _key_of_double(lab: Lab, table: Table) -> Key:
    found = lab.repository.read(lambda records: snapshot(lab, records, table))
    state = found.state
    if not may_know_duplicate(state.flight, is_shown=state.duplicate_shown is not None):
        raise NotYours(
            "Which codes are one coffee is not told yet.",
            hint="It is told after every taster has handed in and called.",
        )
    if not table.is_numbered:
        return lab.keys.open(table.id)
    return _read_key(
        table, found, lab.repository.read(lambda records: records.numbered_bowls(table.id))
    )


def open_control(lab: Lab, table: Table) -> Key:
    """Return the key of the control's places alone; what else stands there stays sealed.

    Raises:  as `open_doubles`.
    """
    key = _key_of_double(lab, table)
    coffees = lab.repository.read(lambda records: coffees_of(lab, records, table.id))
    controls = {coffee.id for coffee in coffees if coffee.is_control}
    told = {place: coffee for place, coffee in key.coffee_of.items() if coffee in controls}
    return replace(key, coffee_of=told)


def open_key_to_set(lab: Lab, table: Table) -> dict[str, str]:
    """Return place to coffee's name for the setting-up card, and write down that it was seen."""
    if table.is_numbered:
        raise NotNow(
            "Nobody knows yet what will stand where: the bowls are numbered.",
            hint="Fill them by the filling card, then shuffle them dry.",
        )

    def look(records: WriteAccess) -> dict[str, str]:
        _demand(snapshot(lab, records, table), Role.SETTER)
        records.add_event(table.id, "key opened", at=lab.clock.now(), detail=table.setter)
        return {coffee.id: coffee.name for coffee in records.coffees(table.id)}

    names = lab.repository.write(look)
    key = lab.keys.open(table.id)
    return {place.id: names[key.coffee_of[place.id]] for place in table.places}


def bowls_to_fill(lab: Lab, table: Table) -> tuple[tuple[NumberedBowls, Coffee], ...]:
    """Return what goes into which numbered bowls, which tells nothing of where they will stand.

    Raises:  NotNow at a table that is set by a key.
    """
    if not table.is_numbered:
        raise NotNow("The bowls of this table have no numbers.", hint="It is set by the card.")

    def ask(records: ReadAccess) -> tuple[tuple[NumberedBowls, Coffee], ...]:
        named = {coffee.id: coffee for coffee in records.coffees(table.id)}
        return tuple(
            (bowl_group, named[bowl_group.coffee_id])
            for bowl_group in records.numbered_bowls(table.id)
        )

    return lab.repository.read(ask)


def open_coffee(lab: Lab, table: Table) -> Coffee | None:
    """Return the coffee of the bowl that stands open on a table; None where there is none."""
    if len(table.blind) == len(table.places):
        return None
    return lab.repository.read(lambda records: coffees_of(lab, records, table.id))[0]


def identified_bowls(
    lab: Lab, table: Table, found: TableSnapshot | None = None
) -> BowlIdentities | None:
    """Return what the numbers under the bowls told, by the last reading; None before there is one.

    Args:    found: how the table stands, where that is known already.
    Raises:  NotYours while codes are sealed.
    """
    found = found or lab.repository.read(lambda records: snapshot(lab, records, table))
    _demand(found, Role.HOST)
    return _identified_bowls(
        table, found, lab.repository.read(lambda records: records.numbered_bowls(table.id))
    )


def _identified_bowls(
    table: Table, found: TableSnapshot, numbered_bowls: tuple[NumberedBowls, ...]
) -> BowlIdentities | None:
    read = [act.readings for act in found.acts if act.kind == "bowls read"]
    return identify_bowls(table.blind, numbered_bowls, read[-1] or ()) if read else None


def _read_key(table: Table, found: TableSnapshot, numbered_bowls: tuple[NumberedBowls, ...]) -> Key:
    """Return the key of numbered bowls, from what was read under them."""
    washed = _identified_bowls(table, found, numbered_bowls)
    if washed is None:
        raise NotYours(
            "Nobody knows yet what stands where: the numbers under the bowls are not read.",
            hint="Read them while washing up, after every taster has called.",
        )
    return Key(coffee_of=washed.coffee_of, seed="")


def _demand(found: TableSnapshot, role: Role) -> None:
    flight = found.state.flight
    water = any(event.kind == "poured" for event in found.acts)
    if may_know_key(role, flight, water=water):
        return
    raise NotYours(
        "The codes are sealed since the first pour."
        if water
        else f"The codes are sealed while the table is {flight}.",
        hint="They get their names after every taster has handed in and called.",
    )
