"""What the work at a table is done with: people, kettles, their pace, and the steep asked for.

All times are whole seconds: nobody with a kettle in hand keeps to less.
"""

from dataclasses import dataclass

from crustbreak.core.errors import Problem, told
from crustbreak.domain.planning.plan_request import MOST_PEOPLE
from crustbreak.domain.records.recipes import STEEP_WITHIN_S, Recipe

MOST_CUPS = 120
MOST_KETTLES = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """How long one cup takes in hand, s.

    gap_s:  at least so long from the end of an act to the next one of the same person, the same
            cup or the same kettle. Nobody is hurried near hot water.
    """

    pour_s: int
    break_s: int
    skim_s: int
    gap_s: int = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Kettles:
    """Kettles that are hot at the first pour.

    count:     how many; one is in one hand at a time.
    pours:     cups that one fill serves.
    reheat_s:  from the last pour of a fill to the first of the next, filling included, s. It asks
               for nobody's hands.
    """

    count: int
    pours: int
    reheat_s: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """The work at a table as asked for.

    cups:         bowls, in the order in which they are poured.
    people:       who can pour, break and skim; tasting is not counted.
    steep_s:      from the start of a cup's pour to the start of its break, s.
    tolerance_s:  how far a steep may be off, s.
    cool_s:       from a cup's pour until it may be tasted, s. A guide: the thermometer decides.
    within_s:     the last skim is over by then, s from the first pour; None for no limit.
    pourers:      how many of the people pour; None for all.
    """

    cups: int
    people: int
    pace: Pace
    kettles: Kettles
    steep_s: int = 240
    tolerance_s: int = STEEP_WITHIN_S
    # First taste after about 12 minutes, and about 20 from too hot to too cold: common practice,
    # no source.
    cool_s: int = 720
    within_s: int | None = 1200
    pourers: int | None = None

    @property
    def who_pour(self) -> int:
        """How many pour, the first of the people."""
        return self.people if self.pourers is None else self.pourers

    @property
    def hands(self) -> int:
        """How many can pour at once: each needs a kettle."""
        return min(self.who_pour, self.kettles.count)


def bench_from(
    recipe: Recipe, *, cups: int, people: int, kettles: Kettles, skim_s: int, gap_s: int = 2
) -> Bench:
    """Return the bench of a recipe: its steep, and its pace as the time in hand and a gap.

    >>> from crustbreak.domain.records.recipes import STANDARD
    >>> kettles = Kettles(count=1, pours=20, reheat_s=150)
    >>> bench_from(STANDARD, cups=30, people=1, kettles=kettles, skim_s=4).pace.pour_s
    6
    """
    in_hand_s = recipe.pace_s - gap_s
    return Bench(
        cups=cups,
        people=people,
        pace=Pace(pour_s=in_hand_s, break_s=in_hand_s, skim_s=skim_s, gap_s=gap_s),
        kettles=kettles,
        steep_s=recipe.steep_s,
    )


def check_bench(bench: Bench) -> tuple[Problem, ...]:
    """Name everything that keeps a bench from being planned."""
    pace, kettles = bench.pace, bench.kettles
    within_s = 0 if bench.within_s is None else bench.within_s
    problems = (
        *_whole("Cups", bench.cups, 1, MOST_CUPS),
        *_whole("People", bench.people, 1, MOST_PEOPLE),
        *(_whole("People who pour", bench.who_pour, 1, bench.people) if bench.pourers else ()),
        *_whole("Seconds a pour", pace.pour_s, 1, 120),
        *_whole("Seconds a break", pace.break_s, 1, 120),
        *_whole("Seconds a skim", pace.skim_s, 1, 120),
        *_whole("Seconds between two acts", pace.gap_s, 1, 60),
        *_whole("Kettles", kettles.count, 1, MOST_KETTLES),
        *_whole("Pours a fill", kettles.pours, 1, MOST_CUPS),
        *_whole("Seconds to reheat", kettles.reheat_s, 0, 3600),
        *_whole("Seconds of steep", bench.steep_s, 10, 1200),
        *_whole("Tolerance, seconds", bench.tolerance_s, 0, 120),
        *_whole("Seconds until the first taste", bench.cool_s, 0, 7200),
        *_whole("Seconds until all is skimmed", within_s, 0, 36_000),
    )
    return problems or _check_steep(bench)


def _whole(where: str, found: int, least: int, most: int) -> tuple[Problem, ...]:
    if type(found) is int and least <= found <= most:
        return ()
    return (
        Problem(
            where=where,
            rule=f"a whole number from {least} to {most}",
            found=told(found),
            remedy=f"Give a whole number from {least} to {most}.",
        ),
    )


def _check_steep(bench: Bench) -> tuple[Problem, ...]:
    pour_s = bench.pace.pour_s + bench.pace.gap_s
    shortest_s = bench.steep_s - bench.tolerance_s
    if pour_s <= shortest_s:
        return ()
    return (
        Problem(
            where="Steep",
            rule="a cup is poured before it is broken",
            found=f"{pour_s} s to pour, and a break from {shortest_s} s on",
            remedy="Pour faster, or give a longer steep or less tolerance.",
        ),
    )
