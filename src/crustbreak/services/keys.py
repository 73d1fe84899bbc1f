"""The one reader of the key.

Every look at the key goes through here: the rules are asked first, and a look before the
uncovering is written down with the name of who looked.
"""

from crustbreak.domain.records.keys import Key
from crustbreak.domain.records.tables import Table
from crustbreak.domain.table.blinding import Role, may_know_key
from crustbreak.footing.errors import NotYours
from crustbreak.ports.books import Writing
from crustbreak.ports.lab import Lab
from crustbreak.services.standing import stand


def open_key(lab: Lab, table: Table, role: Role) -> Key:
    """Give the key to a role that may know it in this state; NotYours otherwise."""
    state = lab.books.read(lambda books: stand(lab, books, table))
    if not may_know_key(role, state.flight):
        raise NotYours(
            f"The codes are sealed while the table is {state.flight}.",
            hint="They get their names after every taster has handed in and called.",
        )
    return lab.keys.open(table.id)


def open_key_to_set(lab: Lab, table: Table) -> dict[str, str]:
    """Give code to coffee's name for the setting-up card, and write down that it was seen."""

    def look(books: Writing) -> dict[str, str]:
        books.add_event(table.id, "key opened", at=lab.clock.now(), detail=table.setter)
        return {coffee.id: coffee.name for coffee in books.coffees(table.id)}

    key = open_key(lab, table, Role.SETTER)
    names = lab.books.write(look)
    return {place.id: names[key.coffee_of[place.id]] for place in table.places}
