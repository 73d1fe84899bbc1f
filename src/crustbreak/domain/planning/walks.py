"""In which order each taster goes along the places, round by round."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from crustbreak.footing.chance import Chance
from crustbreak.footing.errors import OutOfRange


@dataclass(frozen=True, slots=True, kw_only=True)
class Walk:
    """One taster's way along the places; places are numbered from 0, as they stand.

    there:  in the first round, and every second one after it.
    back:   in the rounds between: the other way round, within each order class.
    """

    there: tuple[int, ...]
    back: tuple[int, ...]

    @property
    def start(self) -> int:
        """The place at which this taster begins."""
        return self.there[0]

    def in_round(self, number: int) -> tuple[int, ...]:
        """Give the order of a round, numbered from 1."""
        return self.there if number % 2 else self.back


def class_order(
    classes: Sequence[int], chance: Chance, *, fully_random: bool = False
) -> tuple[int, ...]:
    """Draw in which order coffees stand: light classes before heavy ones, by chance within.

    The class of a coffee tells a taster something, so such a table is blind within class only.

    Args:     classes: for each coffee its order class, low ones first.
              fully_random: pay no heed to classes.
    Returns:  numbers of the coffees, from 0, as they are to stand.
    """
    drawn = chance.shuffled(range(len(classes)))
    return drawn if fully_random else tuple(sorted(drawn, key=lambda coffee: classes[coffee]))


def draw_walks(classes: Sequence[int], *, tasters: int, chance: Chance) -> tuple[Walk, ...]:
    """Draw where each taster begins; all go round the same way, and back in the next round.

    Each begins elsewhere as long as there are places, as far apart as they go, and who begins
    where is drawn, as is the way round. With several order classes this holds within each: nobody
    tastes a heavy class before a light one. Going back turns first into last, so that over two
    rounds every place of a class comes equally late.

    Args:    classes: order class of each place as they stand, never falling; all the same for a
             table without classes.
    Raises:  OutOfRange without a place or a taster, or when a class is lower than the one before.
    """
    if not classes or tasters < 1 or list(classes) != sorted(classes):
        raise OutOfRange(
            f"There is no way along {len(classes)} places for {tasters} tasters.",
            hint="Give at least one taster and one place, light classes before heavy ones.",
        )
    there: list[tuple[int, ...]] = [()] * tasters
    back = list(there)
    is_turned = chance.below(2) == 1
    for _, numbered in groupby(enumerate(classes), key=lambda place: place[1]):
        places = [number for number, _ in numbered]
        circle = places[::-1] if is_turned else places
        turn = chance.below(len(circle))
        for nth, taster in enumerate(chance.shuffled(range(tasters))):
            begin = (turn + _spread(nth, tasters, len(circle))) % len(circle)
            way = (*circle[begin:], *circle[:begin])
            there[taster] += way
            back[taster] += way[::-1]
    return tuple(Walk(there=one, back=two) for one, two in zip(there, back, strict=True))


def _spread(nth: int, tasters: int, places: int) -> int:
    """Give how far on the nth of some tasters begins: even steps, and all places in use."""
    lap = min(tasters, places)
    return nth % lap * places // lap
