"""Which bowls stand where, and the key to them."""

from dataclasses import dataclass

from crustbreak.domain.planning.blind_codes import draw_codes
from crustbreak.domain.planning.walks import class_order
from crustbreak.domain.records.keys import Key
from crustbreak.domain.records.tables import Flight, Place
from crustbreak.footing.chance import Chance


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
    double: bool = False,
    beside: tuple[PlaceDraft, ...] = (),
) -> tuple[Flight, Key]:
    """Draw the order of the places and their codes, and split off the key.

    The flight says nothing of coffees: ids, codes and order all come from the draw. Where they
    are of several order classes these stand one after the other, by chance within each.

    Args:  double: one of them, drawn, stands there twice. beside: others, which do not.
    """
    chance = Chance(seed)
    twice = (drafts[chance.below(len(drafts))],) if double else ()
    poured = (*drafts, *beside, *twice)
    order = class_order([draft.order_class for draft in poured], chance)
    standing = tuple(poured[number] for number in order)
    codes = draw_codes(len(standing), chance)
    places = tuple(
        Place(id=chance.identity(), code=code, cups=draft.cups)
        for draft, code in zip(standing, codes, strict=True)
    )
    coffee_of = {place.id: draft.coffee_id for place, draft in zip(places, standing, strict=True)}
    return Flight(id=chance.identity(), places=places), Key(coffee_of=coffee_of, seed=seed.hex())
