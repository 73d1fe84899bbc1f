"""Orders of tasting in which no coffee is favoured by its position or by what came before it."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise, product

from crustbreak.core.errors import OutOfRange
from crustbreak.core.randomness import SeededRandom

MOST_TREATMENTS = 60
DRAWS = 40

Orders = tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """How balanced a set of orders is: 0 and 0 at best.

    positions:  the largest count of a coffee at a position, less the smallest, over all coffees
                and positions.
    followers:  the same for how often one coffee comes right after another, over all pairs.
    """

    positions: int
    followers: int


def williams_orders(treatments: int) -> Orders:
    """Return a Williams design: each treatment once at each position, and after each other.

    For an even number one square: each follows each other once. For an odd number two, the second
    one the first from behind: each follows each other twice.

    Args:     treatments: 1 to 60, numbered from 0.
    Returns:  as many orders as treatments, or twice as many for an odd number from 3 on.
    Raises:   OutOfRange outside.
    Source:   Williams [S26], from memory: the first order goes 0, 1, n - 1, 2, n - 2, ..., and
              every other adds 1 to the one before, counted round n.

    >>> williams_orders(4)
    ((0, 1, 3, 2), (1, 2, 0, 3), (2, 3, 1, 0), (3, 0, 2, 1))
    """
    if not 1 <= treatments <= MOST_TREATMENTS:
        raise OutOfRange(
            f"There is no such design for {treatments} coffees.",
            hint=f"Put 1 to {MOST_TREATMENTS} coffees in one order.",
        )
    first = [(step + 1) // 2 * (1 if step % 2 else -1) % treatments for step in range(treatments)]
    square = tuple(
        tuple((place + row) % treatments for place in first) for row in range(treatments)
    )
    if treatments % 2 == 0 or treatments == 1:
        return square
    return square + tuple(order[::-1] for order in square)


def draw_orders(coffees: int, *, tasters: int, chance: SeededRandom) -> Orders:
    """Draw an order for each taster from a Williams design.

    Which coffee is which treatment and who gets which order is drawn. A whole design is used up
    before any order comes again. Where that leaves some orders over, the most balanced of some
    draws is taken; `balance` says how balanced it is.

    Args:     coffees: 1 to 60. tasters: at least 1.
    Returns:  for each taster the coffees, numbered from 0, in order.
    Raises:   OutOfRange for other numbers.
    """
    design = williams_orders(coffees)
    if tasters < 1:
        raise OutOfRange("Nobody tastes.", hint="Give at least one taster.")
    # Half of an odd design is a square of its own: even in its positions, not in its followers.
    squares = (design[:coffees], design[coffees:])
    draws = [
        _draw(parts, tasters, chance)
        for parts in (squares, (design,))
        for _ in range(DRAWS if tasters % len(design) else 1)
    ]
    return min(draws, key=_unevenness)


def balance(orders: Sequence[Sequence[int]]) -> Balance:
    """Return how balanced any orders are, of all coffees or of some of them each.

    Args:  orders: numbers of coffees; which coffees there are is taken from all of them.

    >>> balance([(0, 1, 2), (1, 2, 0), (2, 0, 1)])
    Balance(positions=0, followers=2)
    """
    coffees = sorted({coffee for order in orders for coffee in order})
    longest = max(map(len, orders), default=0)
    stood = Counter(place for order in orders for place in enumerate(order))
    followed = Counter(pair for order in orders for pair in pairwise(order))
    pairs = [(one, other) for one, other in product(coffees, coffees) if one != other]
    return Balance(
        positions=_range([stood[place] for place in product(range(longest), coffees)]),
        followers=_range([followed[pair] for pair in pairs]),
    )


def _range(counts: list[int]) -> int:
    return max(counts, default=0) - min(counts, default=0)


def _draw(parts: Sequence[Orders], tasters: int, chance: SeededRandom) -> Orders:
    coffee_of = chance.shuffled(range(len(parts[0][0])))
    rows: list[tuple[int, ...]] = []
    while len(rows) < tasters:
        deck = [row for part in chance.shuffled(parts) for row in chance.shuffled(part)]
        rows.extend(deck[: tasters - len(rows)])
    return tuple(tuple(coffee_of[treatment] for treatment in row) for row in chance.shuffled(rows))


def _unevenness(orders: Orders) -> tuple[int, int]:
    found = balance(orders)
    return found.positions + found.followers, found.positions
