"""Who tastes which coffees when nobody can taste them all, and how coffees split into flights."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, permutations
from typing import TypeVar

from crustbreak.core.errors import OutOfRange
from crustbreak.core.randomness import SeededRandom

T = TypeVar("T")

MOST_COFFEES = 60
MOST_BLOCKS = 120
TRIES = 6
SWAPS = 3000
LOOSEST = 3
# Below this a pivot is rounding: the blocks fall into parts that nothing compares.
NOTHING = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Blocks:
    """Sets of coffees that are tasted together, by one taster or in one flight.

    coffees:  how many there are in all, numbered from 0.
    sets:     the coffees of each block, in a drawn order.
    """

    coffees: int
    sets: tuple[tuple[int, ...], ...]

    @property
    def times_tasted(self) -> tuple[int, ...]:
        """In how many blocks each coffee is."""
        counts = Counter(coffee for block in self.sets for coffee in block)
        return tuple(counts[coffee] for coffee in range(self.coffees))

    @property
    def times_together(self) -> dict[tuple[int, int], int]:
        """In how many blocks each pair of coffees is together; the lower number first."""
        counts = Counter(pair for block in self.sets for pair in combinations(sorted(block), 2))
        return {pair: counts[pair] for pair in combinations(range(self.coffees), 2)}

    @property
    def is_balanced(self) -> bool:
        """Whether all coffees, and all pairs of them, are in as many blocks as each other."""
        return len(set(self.times_tasted)) == 1 and len(set(self.times_together.values())) == 1


def draw_blocks(coffees: int, *, blocks: int, size: int, chance: SeededRandom) -> Blocks:
    """Draw blocks in which each pair of coffees is together about equally often.

    Coffees are in as many blocks as each other, or one more. It is a short search: coffees are
    swapped between blocks until the squares of the times together add up to least. Where there is
    a balanced design it is nearly always found up to 11 coffees, and seldom above 13, where the
    efficiency comes within 2 % of it.

    Args:     coffees: 2 to 60. blocks: 1 to 120. size: of a block, 2 to `coffees`.
    Raises:   OutOfRange outside.
    Source:   counting. A balanced one has blocks x size = coffees x r and
              times together x (coffees - 1) = r x (size - 1): Cochran and Cox [S27].
    """
    if not (2 <= coffees <= MOST_COFFEES and 1 <= blocks <= MOST_BLOCKS and 2 <= size <= coffees):
        raise OutOfRange(
            f"{coffees} coffees do not go into {blocks} blocks of {size}.",
            hint=f"Give 2 to {MOST_COFFEES} coffees, 1 to {MOST_BLOCKS} blocks, and no block"
            " larger than all coffees.",
        )
    # What is left out of even blocks is even too, and the smaller of the two is quicker to find.
    is_turned = size > coffees - size
    held = coffees - size if is_turned else size
    found: list[set[int]] = []
    squares: int | None = None
    for _ in range(TRIES):
        search = _Search(coffees, blocks, held, chance)
        search.run()
        if squares is None or search.squares < squares:
            squares, found = search.squares, search.sets
        if search.is_even:
            break
    everything = set(range(coffees))
    kept = [everything - block if is_turned else block for block in found]
    in_order = (chance.shuffled(sorted(block)) for block in chance.shuffled(kept))
    return Blocks(coffees=coffees, sets=tuple(in_order))


def efficiency(blocks: Blocks) -> float:
    """Return how much of the information of complete blocks these keep.

    The mean variance of a difference of two coffees, in complete blocks with as many tastings,
    over the same in these blocks; the block's own level is taken out of both.

    Returns:  0 to 1; 0 when some coffees are compared with others by no chain of blocks.
    Source:   for a balanced design it is v (k - 1) / (k (v - 1)), v coffees in blocks of k:
              Cochran and Cox [S27].

    >>> three = Blocks(coffees=3, sets=((0, 1), (1, 2), (2, 0)))
    >>> round(efficiency(three), 9)
    0.75
    """
    v = blocks.coffees
    # The information about the coffees, plus the mean of all, of which it says nothing.
    matrix = [[1.0 / v] * v for _ in range(v)]
    for block in blocks.sets:
        for one in block:
            matrix[one][one] += 1.0
            for other in block:
                matrix[one][other] -= 1.0 / len(block)
    trace = _trace_of_inverse(matrix)
    if trace is None:
        return 0.0
    mean_times = sum(blocks.times_tasted) / v
    return (v - 1) / (mean_times * (trace - 1.0))


def split_flights(
    coffees: Sequence[T], *, flights: int, chance: SeededRandom, control: T | None = None
) -> tuple[tuple[T, ...], ...]:
    """Split coffees at random into flights of about one size, each with the same control.

    The control is the bridge between the flights, and stands at a drawn place in each.

    Args:    flights: 1 to the number of coffees. control: not among the coffees; None for none.
    Raises:  OutOfRange for other numbers of flights, or when the control is among the coffees.
    """
    if not 1 <= flights <= len(coffees) or control in coffees:
        raise OutOfRange(
            f"{len(coffees)} coffees do not go into {flights} flights with this control.",
            hint="Give each flight a coffee, and a control that is not one of them.",
        )
    drawn = chance.shuffled(coffees)
    split = [drawn[nth::flights] for nth in range(flights)]
    if control is None:
        return tuple(split)
    return tuple(chance.shuffled((*flight, control)) for flight in split)


class _Search:
    """Blocks on their way to being even, by swaps that leave each coffee in as many as before."""

    def __init__(self, coffees: int, blocks: int, size: int, chance: SeededRandom) -> None:
        self._chance = chance
        self.sets = _dealt(coffees, blocks, size, chance)
        self._together = [[0] * coffees for _ in range(coffees)]
        for one, other in (pair for block in self.sets for pair in permutations(block, 2)):
            self._together[one][other] += 1
        times = [each for row in self._together for each in row]
        self.squares = sum(each * each for each in times)
        # All pairs together as often as each other, or once more.
        pairs = coffees * (coffees - 1)
        often, once_more = divmod(sum(times), pairs)
        self._fewest = pairs * often**2 + once_more * (2 * often + 1)

    @property
    def is_even(self) -> bool:
        return self.squares == self._fewest

    def run(self) -> None:
        if len(self.sets) < 2:
            return
        for left in range(SWAPS, 0, -1):
            if self.is_even:
                return
            # A swap for the worse leads out of a dead end, less and less as the search goes on.
            self._try_swap(worse=LOOSEST * left // SWAPS)

    def _try_swap(self, *, worse: int) -> None:
        one, other = self._two_blocks()
        only_one, only_other = sorted(one - other), sorted(other - one)
        if not only_one:
            return
        i = only_one.pop(self._chance.below(len(only_one)))
        j = only_other.pop(self._chance.below(len(only_other)))
        with_i, with_j = self._together[i], self._together[j]
        gained = sum(with_j[x] - with_i[x] for x in only_one)
        gained += sum(with_i[y] - with_j[y] for y in only_other)
        # Each time together counts in both orders, and squares grow by 2 n + 1.
        change = 4 * (gained + len(only_one) + len(only_other))
        if change > 0 and change > 4 * self._chance.below(worse + 1):
            return
        self.squares += change
        self._move(i, out_of=only_one, into=only_other)
        self._move(j, out_of=only_other, into=only_one)
        one ^= {i, j}
        other ^= {i, j}

    def _two_blocks(self) -> tuple[set[int], set[int]]:
        at = self._chance.below(len(self.sets))
        step = 1 + self._chance.below(len(self.sets) - 1)
        return self.sets[at], self.sets[(at + step) % len(self.sets)]

    def _move(self, coffee: int, *, out_of: list[int], into: list[int]) -> None:
        for others, change in ((out_of, -1), (into, 1)):
            for other in others:
                self._together[coffee][other] += change
                self._together[other][coffee] += change


def _dealt(coffees: int, blocks: int, size: int, chance: SeededRandom) -> list[set[int]]:
    """Deal the coffees that had their turn least often, by chance among equals."""
    times = [0] * coffees
    dealt: list[set[int]] = []
    for _ in range(blocks):
        block = sorted(chance.shuffled(range(coffees)), key=lambda coffee: times[coffee])[:size]
        dealt.append(set(block))
        for coffee in block:
            times[coffee] += 1
    return dealt


def _trace_of_inverse(matrix: list[list[float]]) -> float | None:
    """Return the trace of the inverse of a symmetric positive matrix; None when it has none.

    Gauss and Jordan, in place: no row is exchanged, since every pivot of such a matrix is above
    zero.
    """
    size = len(matrix)
    for at in range(size):
        pivot = matrix[at][at]
        if pivot < NOTHING:
            return None
        row = matrix[at] = [each / pivot for each in matrix[at]]
        row[at] = 1.0 / pivot
        for no in range(size):
            if no == at:
                continue
            factor = matrix[no][at]
            matrix[no] = [
                each - factor * above for each, above in zip(matrix[no], row, strict=True)
            ]
            matrix[no][at] = -factor / pivot
    return sum(matrix[at][at] for at in range(size))
