"""What the house says of itself: asked once, kept with its date, good for what is planned after."""

from dataclasses import replace

from crustbreak.core.errors import refuse
from crustbreak.domain.brewing.bowls import BOWLS
from crustbreak.domain.planning.lab_settings import (
    HouseDraft,
    check_house,
    check_kettle,
    make_house,
)
from crustbreak.domain.records.lab_settings import House
from crustbreak.ports.lab import Lab
from crustbreak.services.lab.protocols import every_protocol, offered_protocols


def house_of(lab: Lab) -> House:
    """Give the house as it stands."""
    return lab.books.read(lambda books: books.house())


def settle_house(lab: Lab, draft: HouseDraft) -> House:
    """Keep what a house says of itself; a table planned earlier goes by what was said then.

    Raises:  Unacceptable with every fault.
    """
    protocols, bowls = every_protocol(lab), [bowl.kind for bowl in BOWLS]
    problems = check_house(draft, protocols=protocols, bowls=bowls)
    largest_ml = max(protocol.water_ml for protocol in offered_protocols(lab))
    refuse("The house", problems or check_kettle(draft, bowl_ml=largest_ml))
    house = make_house(draft)
    if house != replace(house_of(lab), measured=()):
        lab.books.write(lambda books: books.add_house(house, at=lab.clock.now()))
    return house
