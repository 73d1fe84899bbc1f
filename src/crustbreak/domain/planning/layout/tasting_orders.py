"""In which order each taster goes along the places, round by round."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from crustbreak.core.errors import OutOfRange
from crustbreak.core.randomness import SeededRandom
from crustbreak.domain.planning.layout.order_designs import Balance, balance, draw_orders
from crustbreak.domain.records.tasting_orders import TastingOrder


@dataclass(frozen=True, slots=True, kw_only=True)
class Starts:
    """For how many tasters each place comes first, among those of its order class.

    fewest, most:  over all places but those that are alone in their class, and so first for all;
                   all tasters where each is alone.
    classes:       how many order classes the ways keep apart.
    """

    fewest: int
    most: int
    classes: int


def class_order(
    classes: Sequence[int], chance: SeededRandom, *, fully_random: bool = False
) -> tuple[int, ...]:
    """Draw in which order coffees stand: light classes before heavy ones, by chance within.

    The class of a coffee tells a taster something, so such a table is blind within class only.

    Args:     classes: for each coffee its order class, low ones first.
              fully_random: pay no heed to classes.
    Returns:  numbers of the coffees, from 0, as they are to stand.
    """
    drawn = chance.shuffled(range(len(classes)))
    return drawn if fully_random else tuple(sorted(drawn, key=lambda coffee: classes[coffee]))


def draw_tasting_orders(
    classes: Sequence[int], *, tasters: int, chance: SeededRandom
) -> tuple[TastingOrder, ...]:
    """Draw where each taster begins; all go round the same way, and back in the next round.

    Each begins elsewhere as long as there are places, as far apart as they go, and who begins
    where is drawn, as is the way round. With several order classes this holds within each: nobody
    tastes a heavy class before a light one. Going back turns first into last, so that over two
    rounds every place of a class comes equally late.

    Args:    classes: order class of each place as they stand, never falling; all the same for a
             table without classes.
    Raises:  OutOfRange without a place or a taster, or when a class is lower than the one before.
    """
    _demand_ways(classes, tasters)
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
    return tuple(TastingOrder(there=one, back=two) for one, two in zip(there, back, strict=True))


def draw_balanced_orders(
    classes: Sequence[int], *, tasters: int, chance: SeededRandom
) -> tuple[TastingOrder, ...]:
    """Draw a way for each taster on which each place comes right after each other equally often.

    Within each order class, by a Williams design; whole with as many tasters as the class has
    places, or twice as many for an odd number. `balance_of` says how near fewer come. Going back
    turns all of it round.

    Args:    as for `draw_tasting_orders`.
    Raises:  OutOfRange as `draw_tasting_orders`.
    """
    _demand_ways(classes, tasters)
    there: list[tuple[int, ...]] = [()] * tasters
    back = list(there)
    for _, numbered in groupby(enumerate(classes), key=lambda place: place[1]):
        places = [number for number, _ in numbered]
        orders = draw_orders(len(places), tasters=tasters, chance=chance)
        for taster, order in enumerate(orders):
            way = tuple(places[nth] for nth in order)
            there[taster] += way
            back[taster] += way[::-1]
    return tuple(TastingOrder(there=one, back=two) for one, two in zip(there, back, strict=True))


def goes_round(tasting_orders: Sequence[TastingOrder]) -> bool:
    """Return whether within each class all ways are one circle, begun at one place or another."""
    ways = [tasting_order.there for tasting_order in tasting_orders]
    return all(
        {way[begin:end] for way in ways} <= _turns(ways[0][begin:end])
        for begin, end in _classes_of(ways)
    )


def balance_of(tasting_orders: Sequence[TastingOrder]) -> Balance:
    """Return how balanced the ways of two or more tasters are, in the class where it is least so.

    Args:    tasting_orders: of at least two tasters.
    Raises:  OutOfRange for fewer: one way alone shows no class.
    """
    if len(tasting_orders) < 2:
        raise OutOfRange("One taster shares no order.", hint="Give the ways of two or more.")
    ways = [tasting_order.there for tasting_order in tasting_orders]
    each = [balance([way[begin:end] for way in ways]) for begin, end in _classes_of(ways)]
    return Balance(
        positions=max(found.positions for found in each),
        followers=max(found.followers for found in each),
    )


def _turns(way: tuple[int, ...]) -> set[tuple[int, ...]]:
    return {(*way[begin:], *way[:begin]) for begin in range(len(way))}


def _classes_of(ways: Sequence[tuple[int, ...]]) -> list[tuple[int, int]]:
    """Return from where to where each class lies: what all go through before the rest."""
    ends = [end for end in range(1, len(ways[0]) + 1) if _is_gone_through(ways, end)]
    return list(pairwise((0, *ends)))


def _demand_ways(classes: Sequence[int], tasters: int) -> None:
    if not classes or tasters < 1 or list(classes) != sorted(classes):
        raise OutOfRange(
            f"There is no way along {len(classes)} places for {tasters} tasters.",
            hint="Give at least one taster and one place, light classes before heavy ones.",
        )


def _spread(nth: int, tasters: int, places: int) -> int:
    """Return how far on the nth of some tasters begins: even steps, and all places in use."""
    lap = min(tasters, places)
    return nth % lap * places // lap


def starts_of(tasting_orders: Sequence[TastingOrder]) -> Starts:
    """Return how evenly the starts of two or more tasters are shared out.

    It goes by the ways alone: what every taster goes through before the rest is a class.

    Args:    tasting_orders: of at least two tasters, as `draw_tasting_orders` gives them.
    Raises:  OutOfRange for fewer: one way alone shows no class.
    """
    if len(tasting_orders) < 2:
        raise OutOfRange("One taster shares no starts.", hint="Give the ways of two or more.")
    ways = [tasting_order.there for tasting_order in tasting_orders]
    ends = [end for end in range(1, len(ways[0]) + 1) if _is_gone_through(ways, end)]
    firsts = Counter(way[begin] for begin in (0, *ends[:-1]) for way in ways)
    shared = (range(begin, end) for begin, end in pairwise((0, *ends)) if end - begin > 1)
    counts = [firsts[place] for places in shared for place in places] or [len(tasting_orders)]
    return Starts(fewest=min(counts), most=max(counts), classes=len(ends))


def _is_gone_through(ways: Sequence[tuple[int, ...]], end: int) -> bool:
    return all(set(way[:end]) == set(range(end)) for way in ways)
