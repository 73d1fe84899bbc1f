"""More coffees than one table takes: which are tasted together at a screening."""

from collections.abc import Sequence
from itertools import pairwise

from crustbreak.core.randomness import SeededRandom

# Over eight to ten coffees a pause is due: common practice, no source.
FLIGHT_MOST = 10


def draw_flights(
    classes: Sequence[int], *, least: int, by_class: bool, chance: SeededRandom
) -> tuple[tuple[int, ...], ...]:
    """Draw which coffees make a flight, as even as can be, ten at most in each.

    Args:     classes: order class of each coffee, low ones first.
              least: coffees in a flight; a class of fewer goes with the one before it.
              by_class: each class has flights of its own; else all are drawn over.
    Returns:  for each flight its coffees, numbered from 0, in the order typed.
    """
    every = range(len(classes))
    groups = _by_class(classes, least) if by_class else [list(every)]
    return tuple(
        tuple(sorted(flight)) for group in groups for flight in _parted(chance.shuffled(group))
    )


def flight_sizes(classes: Sequence[int], *, least: int, by_class: bool) -> tuple[int, ...]:
    """Return how many coffees each flight will have, whatever is drawn.

    >>> flight_sizes((1,) * 38, least=3, by_class=False)
    (9, 10, 9, 10)
    """
    flights = draw_flights(classes, least=least, by_class=by_class, chance=SeededRandom(b""))
    return tuple(len(flight) for flight in flights)


def _by_class(classes: Sequence[int], least: int) -> list[list[int]]:
    groups: list[list[int]] = []
    for each in sorted(set(classes)):
        mine = [number for number, of in enumerate(classes) if of == each]
        if groups and min(len(mine), len(groups[-1])) < least:
            groups[-1] += mine
        else:
            groups.append(mine)
    return groups


def _parted(numbers: Sequence[int]) -> list[Sequence[int]]:
    flights = -(-len(numbers) // FLIGHT_MOST)
    bounds = [len(numbers) * nth // flights for nth in range(flights + 1)]
    return [numbers[begin:end] for begin, end in pairwise(bounds)]
