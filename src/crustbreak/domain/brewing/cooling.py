"""How warm the coffee in a bowl is, and when it may be tasted.

Every answer comes with its error. The error is made of three doubts, taken as independent: how
fast this bowl loses heat, how warm it was after the pour, and the model's own shape.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from crustbreak.core.errors import OutOfRange
from crustbreak.core.units import TASTE_BELOW_C
from crustbreak.domain.brewing.bowls import Bowl, Room
from crustbreak.domain.brewing.heat import after_pour_c, heat_capacity_j_per_k, heat_flow
from crustbreak.domain.brewing.valid_range import within
from crustbreak.domain.records.recipes import Recipe

# A bowl changes by under a fiftieth in this time, so that the steps are exact to a millionth.
STEP_S = 30.0
LONGEST_S = 43_200
# A step halved so often is a microsecond.
HALVINGS = 25

# Nine in ten lie within this many standard deviations.
NINE_IN_TEN = 1.645
# The shape of the curve; the published one of [S21] is met within 1 C. Our judgement.
SHAPE_DOUBT_C = 0.5

Rate = Callable[[float], float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cooled:
    """How warm the coffee is.

    temperature_c:  most likely, degrees C.
    plus_minus_c:   nine in ten lie within this of it, degrees C.
    """

    temperature_c: float
    plus_minus_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """When the coffee comes down to a temperature, in seconds from the pour.

    early_s:  it may be there already: temperature less error.
    at_s:     most likely.
    late_s:   it is there, error and all; 19 in 20 are.
    """

    early_s: float
    at_s: float
    late_s: float


def cool(bowl: Bowl, room: Room, *, recipe: Recipe, at_s: float) -> Cooled:
    """Return the coffee's temperature some time after the pour.

    C dT/dt = -(loss factor) x (heat flow at T), from the temperature of water, grounds and bowl
    mixed; fourth-order Runge-Kutta.

    Args:     recipe: dose, water and pour temperature. at_s: since the pour of this bowl, s.
    Returns:  degrees C, with its error.
    Valid for 0 s to 12 h, uncovered, out of a draught; OutOfRange outside.
    Source:   docs/reference/cooling.md.

    >>> from crustbreak.domain.brewing.bowls import STANDARD_GLASS
    >>> from crustbreak.domain.records.recipes import STANDARD
    >>> warm = cool(STANDARD_GLASS, Room(temperature_c=22), recipe=STANDARD, at_s=540)
    >>> round(warm.temperature_c), round(warm.plus_minus_c, 1)
    (71, 2.0)
    """
    within(at_s, 0, LONGEST_S, what="The time since the pour, s")
    rate = cooling_rate(bowl, room, recipe=recipe)
    start_c = after_pour_c(bowl, room, recipe=recipe)
    temperature_c = march(start_c, rate, for_s=at_s)
    error_c = _Error(bowl, rate, rate(start_c)).plus_minus_c(at_s, temperature_c)
    return Cooled(temperature_c=temperature_c, plus_minus_c=error_c)


def time_to(bowl: Bowl, room: Room, *, recipe: Recipe, temperature_c: float) -> Due:
    """Return when the coffee comes down to a temperature.

    Args:     recipe: dose, water and pour temperature. temperature_c: asked for, degrees C.
    Returns:  early, most likely and late, s; 0 when it is there right after the pour.
    Raises:   OutOfRange when it is not surely reached in 12 h, as in a room as warm as that.
    Source:   `cool`, turned round.

    >>> from crustbreak.domain.brewing.bowls import STANDARD_GLASS
    >>> from crustbreak.domain.records.recipes import STANDARD
    >>> due = time_to(STANDARD_GLASS, Room(temperature_c=22), recipe=STANDARD, temperature_c=65)
    >>> [round(each / 60, 1) for each in (due.early_s, due.at_s, due.late_s)]
    [12.3, 14.9, 18.0]
    """
    rate = cooling_rate(bowl, room, recipe=recipe)
    start_c = after_pour_c(bowl, room, recipe=recipe)
    error = _Error(bowl, rate, rate(start_c))

    def there(side: int) -> Callable[[float, float], bool]:
        return lambda at_s, now_c: now_c + side * error.plus_minus_c(at_s, now_c) <= temperature_c

    early_s, at_s, late_s = _first_s(start_c, rate, [there(side) for side in (-1, 0, 1)])
    return Due(early_s=early_s, at_s=at_s, late_s=late_s)


def first_round_s(bowl: Bowl, room: Room, *, recipe: Recipe, below_c: float = TASTE_BELOW_C) -> int:
    """Return when the first round may be suggested: when no bowl should scald any more.

    The late end of the time to the limit, so that 19 bowls in 20 are below it; and never before
    the break. It is a suggestion: a person measures a bowl, and decides.

    Args:     below_c: limit, at most 65 degrees C; 57.8 is the optimum for drinking.
    Returns:  whole seconds since the pour.
    Raises:   OutOfRange for a limit above 65, and when it is not surely reached.
    Source:   [S3]: liquids at 71 to 85 C scald.

    >>> from crustbreak.domain.brewing.bowls import STANDARD_GLASS
    >>> from crustbreak.domain.records.recipes import STANDARD
    >>> first_round_s(STANDARD_GLASS, Room(temperature_c=22), recipe=STANDARD)
    1079
    """
    within(below_c, room.temperature_c, TASTE_BELOW_C, what="The limit for tasting, C")
    return first_round_after(time_to(bowl, room, recipe=recipe, temperature_c=below_c), recipe)


def first_round_after(cool: Due, recipe: Recipe) -> int:
    """Return the same of a time to the limit that is known already, whole s since the pour.

    >>> from crustbreak.domain.records.recipes import STANDARD
    >>> first_round_after(Due(early_s=700.0, at_s=880.0, late_s=1078.2), STANDARD)
    1079
    """
    return max(recipe.steep_s, math.ceil(cool.late_s))


def cooling_rate(bowl: Bowl, room: Room, *, recipe: Recipe) -> Rate:
    """Return how fast the coffee gets warmer, which it does not, as a function of its temperature.

    Returns:  C/s for degrees C; negative while it cools.
    Source:   heat flow over heat capacity.

    >>> from crustbreak.domain.brewing.bowls import STANDARD_GLASS
    >>> from crustbreak.domain.records.recipes import STANDARD
    >>> rate = cooling_rate(STANDARD_GLASS, Room(temperature_c=22), recipe=STANDARD)
    >>> round(60 * rate(65), 2)
    -0.86
    """
    capacity_j_per_k = heat_capacity_j_per_k(bowl, recipe=recipe)

    def rate(temperature_c: float) -> float:
        flow = heat_flow(bowl, room, recipe=recipe, temperature_c=temperature_c)
        return -bowl.loss_factor * flow.total_w / capacity_j_per_k

    return rate


def march(start_c: float, rate: Rate, *, for_s: float) -> float:
    """Return where a temperature gets to, when its change depends on itself alone.

    Runge and Kutta's fourth-order rule in steps of 30 s.

    Args:     start_c: degrees C. rate: C/s at a temperature. for_s: 0 or more, s.
    Returns:  degrees C.
    Valid for changes that take minutes.               Source: textbook rule.

    >>> round(march(80, lambda c: -0.001 * (c - 20), for_s=600), 2)
    52.93
    """
    whole, rest_s = divmod(for_s, STEP_S)
    temperature_c = start_c
    for _ in range(int(whole)):
        temperature_c = _step(temperature_c, rate, STEP_S)
    return _step(temperature_c, rate, rest_s)


@dataclass(frozen=True, slots=True)
class _Error:
    """What the three doubts make of a temperature.

    A factor on all losses only makes time run faster, so that T(t; f) = T(f t): its doubt counts
    with t x rate. A start that is off by a little stays off by rate / rate at the start.
    """

    bowl: Bowl
    rate: Rate
    first_rate: float

    def plus_minus_c(self, at_s: float, temperature_c: float) -> float:
        rate = self.rate(temperature_c)
        lost_c = self.bowl.loss_doubt * at_s * rate
        started_c = self.bowl.start_doubt_c * rate / self.first_rate
        return NINE_IN_TEN * math.hypot(lost_c, started_c, SHAPE_DOUBT_C)


def _step(temperature_c: float, rate: Rate, for_s: float) -> float:
    first = rate(temperature_c)
    second = rate(temperature_c + for_s / 2 * first)
    third = rate(temperature_c + for_s / 2 * second)
    fourth = rate(temperature_c + for_s * third)
    return temperature_c + for_s / 6 * (first + 2 * second + 2 * third + fourth)


def _first_s(
    start_c: float, rate: Rate, asked: Sequence[Callable[[float, float], bool]]
) -> list[float]:
    """Return the first moment that is as asked, each in turn: steps, then the last step halved."""
    at_s, temperature_c = 0.0, start_c
    found = {nth: at_s for nth, reached in enumerate(asked) if reached(at_s, temperature_c)}
    # All of them on one way down: it is the way that takes long.
    while at_s < LONGEST_S and len(found) < len(asked):
        next_c = _step(temperature_c, rate, STEP_S)
        for nth, reached in enumerate(asked):
            if nth not in found and reached(at_s + STEP_S, next_c):
                found[nth] = at_s + _within_step_s(at_s, temperature_c, rate, reached)
        at_s, temperature_c = at_s + STEP_S, next_c
    if len(found) == len(asked):
        return [found[nth] for nth in range(len(asked))]
    raise OutOfRange(
        f"The coffee is not surely that cool within {LONGEST_S // 3600} hours; it ends at "
        f"about {temperature_c:.0f} C.",
        hint="Ask for a temperature further above the room's.",
    )


def _within_step_s(
    at_s: float, temperature_c: float, rate: Rate, reached: Callable[[float, float], bool]
) -> float:
    low_s, high_s = 0.0, STEP_S
    for _ in range(HALVINGS):
        middle_s = (low_s + high_s) / 2
        if reached(at_s + middle_s, _step(temperature_c, rate, middle_s)):
            high_s = middle_s
        else:
            low_s = middle_s
    return high_s
