"""Which bowls stand where, and the key to them."""

from dataclasses import dataclass, replace

from crustbreak.core.errors import OutOfRange
from crustbreak.core.randomness import SeededRandom
from crustbreak.domain.planning.layout.blind_codes import draw_codes
from crustbreak.domain.planning.layout.tasting_orders import class_order
from crustbreak.domain.records.keys import Key
from crustbreak.domain.records.numbered_bowls import NumberedBowls
from crustbreak.domain.records.tables import Flight, Place

# The code of a bowl whose coffee everybody may know.
OPEN = "open"
# I and O are taken for digits, and digits are what stands under the bowls.
PLACE_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceDraft:
    """Bowls of one coffee that will share a code.

    order_class:  low ones stand first.
    """

    coffee_id: str
    cups: int
    order_class: int = 1


def lay_out(
    drafts: tuple[PlaceDraft, ...],
    *,
    seed: bytes,
    duplicate: bool = False,
    others: tuple[PlaceDraft, ...] = (),
) -> tuple[Flight, Key]:
    """Draw the order of the places and their codes, and split off the key.

    The flight says nothing of coffees: ids, codes and order all come from the draw. Where they
    are of several order classes these stand one after the other, by chance within each.

    Args:  duplicate: one of them, drawn, stands there twice. beside: others, which do not.
    """
    chance = SeededRandom(seed)
    twice = (drafts[chance.below(len(drafts))],) if duplicate else ()
    poured = (*drafts, *others, *twice)
    order = class_order([draft.order_class for draft in poured], chance)
    placed = tuple(poured[number] for number in order)
    codes = draw_codes(len(placed), chance)
    places = tuple(
        Place(id=chance.identity(), code=code, cups=draft.cups)
        for draft, code in zip(placed, codes, strict=True)
    )
    coffee_of = {place.id: draft.coffee_id for place, draft in zip(places, placed, strict=True)}
    return Flight(id=chance.identity(), places=places), Key(coffee_of=coffee_of, seed=seed.hex())


def lay_out_numbered(
    drafts: tuple[PlaceDraft, ...],
    *,
    ids: SeededRandom,
    seed: bytes,
    duplicate: bool = False,
    others: tuple[PlaceDraft, ...] = (),
) -> tuple[Flight, tuple[NumberedBowls, ...]]:
    """Return which coffee goes into which bowl, and draw places that anything may come to stand at.

    Nothing here tells what will stand where: the trays of a class are all alike in size, and
    whoever puts them down decides without looking. Places have letters and bowls numbers, so
    that at the sink neither is taken for the other.

    Args:    as `lay_out`; ids: of flight and places.
    Raises:  OutOfRange when trays of a class differ in size, which would tell them apart, or
             when there are more of them than letters.
    """
    chance = SeededRandom(seed)
    twice = (drafts[chance.below(len(drafts))],) if duplicate else ()
    poured = sorted((*drafts, *others, *twice), key=lambda draft: draft.order_class)
    _demand_alike(poured)
    numbered_bowls, first = [], 1
    for draft in poured:
        bowls = tuple(range(first, first + draft.cups))
        numbered_bowls.append(
            NumberedBowls(coffee_id=draft.coffee_id, bowls=bowls, order_class=draft.order_class)
        )
        first += draft.cups
    places = tuple(
        Place(id=ids.identity(), code=letter, cups=draft.cups)
        for letter, draft in zip(PLACE_LETTERS, poured, strict=False)
    )
    return Flight(id=ids.identity(), places=places), tuple(numbered_bowls)


def with_open_bowl(flight: Flight, place_id: str) -> Flight:
    """Put a bowl that everybody may know of at the end of a flight: poured last, and not marked."""
    others = Place(id=place_id, code=OPEN, cups=1, is_open=True)
    return replace(flight, places=(*flight.places, others))


def _demand_alike(drafts: list[PlaceDraft]) -> None:
    if len({(draft.order_class, draft.cups) for draft in drafts}) > len(
        {draft.order_class for draft in drafts}
    ):
        raise OutOfRange(
            "Trays of several sizes in one class would be known by their size.",
            hint="Give every coffee of a class as many bowls.",
        )
    if len(drafts) > len(PLACE_LETTERS):
        raise OutOfRange(
            f"There are letters for {len(PLACE_LETTERS)} places, and {len(drafts)} are asked for.",
            hint="Split the table in two.",
        )
