"""What one or two readings of a thermometer say about a bowl."""

from dataclasses import dataclass, replace
from math import exp, hypot, log, sqrt

from crustbreak.core.errors import Problem, refuse
from crustbreak.core.units import clock
from crustbreak.domain.brewing.bowls import Bowl, Room
from crustbreak.domain.brewing.cooling import Rate, cooling_rate, march
from crustbreak.domain.brewing.heat import after_pour_c
from crustbreak.domain.records.recipes import Recipe

# A kitchen thermometer in a bowl that was stirred. Our judgement.
READING_DOUBT_C = 0.5
# Before, a thick bowl is still taking heat; later, the coffee says little about the first round.
EARLIEST_S = 120
LATEST_S = 3600
# Nearer to the room's temperature a reading says nothing about how fast it got there.
LEAST_ABOVE_ROOM_C = 10
# The start is not known to the degree.
HOTTER_C = 3
# What still goes with a reading, and with the bowl's doubt in standard deviations.
LARGEST_MISFIT_C = 2.0
FURTHEST = 3
# How much the same bowl differs from day to day, as the air moves. Our judgement.
ANOTHER_DAY = 0.05
# No bowl loses five times what the model says.
MOST_LOG_FACTOR = log(5)
# Gauss's steps get ten times nearer each time.
STEPS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class TemperatureReading:
    """One look at the thermometer.

    at_s:           since the pour of that bowl, s.
    temperature_c:  of the coffee, stirred, degrees C.
    """

    at_s: float
    temperature_c: float


def calibrate(
    bowl: Bowl, room: Room, *, recipe: Recipe, readings: tuple[TemperatureReading, ...]
) -> Bowl:
    """Return the bowl with the losses that its readings speak for, and a smaller doubt.

    Least squares with two unknowns, the logarithm of the loss factor and how far the start was
    off, each held by what was known of it. The start's is dropped: it belongs to that pour. To
    the doubt that is left comes what another day may change.

    Args:     readings: from one pour in this room; one is enough, the second from later.
    Returns:  the bowl to be kept; the same one without readings.
    Valid for 2 to 60 min after the pour and from 10 C above the room up; Unacceptable otherwise,
    with every fault named.
    Source:   Gauss's least squares; the derivatives are those of `cool`'s error.

    >>> from crustbreak.domain.brewing.bowls import STANDARD_GLASS
    >>> from crustbreak.domain.records.recipes import STANDARD
    >>> measured = calibrate(
    ...     STANDARD_GLASS,
    ...     Room(temperature_c=22),
    ...     recipe=STANDARD,
    ...     readings=(TemperatureReading(at_s=600, temperature_c=67.0),),
    ... )
    >>> round(measured.loss_factor, 2), round(measured.loss_doubt, 3)
    (1.17, 0.076)
    """
    if not readings:
        return bowl
    start_c = after_pour_c(bowl, room, recipe=recipe)
    refuse("The calibration", _faults(readings, room, start_c))
    rate = cooling_rate(replace(bowl, loss_factor=1.0), room, recipe=recipe)
    fit = _Fit(log_factor=log(bowl.loss_factor), off_c=0.0, doubt=bowl.loss_doubt)
    for _ in range(STEPS):
        rows = [_row(reading, rate, start_c, fit=fit) for reading in readings]
        fit = _nearer(fit, rows, bowl)
    misfits = [_row(reading, rate, start_c, fit=fit)[0] for reading in readings]
    refuse("The calibration", _misfits(readings, misfits, fit, bowl))
    doubt = min(bowl.loss_doubt, hypot(fit.doubt, ANOTHER_DAY))
    return replace(bowl, loss_factor=exp(fit.log_factor), loss_doubt=doubt)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Fit:
    """Where the two unknowns stand, and the doubt left about the first."""

    log_factor: float
    off_c: float
    doubt: float


# How far a reading is off, and what the two unknowns would each do to it.
Row = tuple[float, float, float]


def _row(reading: TemperatureReading, rate: Rate, start_c: float, *, fit: _Fit) -> Row:
    # Losses twice as large are the same course in half the time.
    aged_s = exp(fit.log_factor) * reading.at_s
    first_c = start_c + fit.off_c
    temperature_c = march(first_c, rate, for_s=aged_s)
    by_factor = aged_s * rate(temperature_c)
    return reading.temperature_c - temperature_c, by_factor, rate(temperature_c) / rate(first_c)


def _nearer(fit: _Fit, rows: list[Row], bowl: Bowl) -> _Fit:
    """Take one step of Gauss's: two equations, solved by hand."""
    weight = READING_DOUBT_C**-2
    held, held_start = bowl.loss_doubt**-2, bowl.start_doubt_c**-2
    moved = fit.log_factor - log(bowl.loss_factor)
    both = weight * sum(by * start for _, by, start in rows)
    factors = held + weight * sum(by**2 for _, by, _ in rows)
    starts = held_start + weight * sum(start**2 for _, _, start in rows)
    pull = weight * sum(off * by for off, by, _ in rows) - held * moved
    pull_start = weight * sum(off * start for off, _, start in rows) - held_start * fit.off_c
    determinant = factors * starts - both**2
    log_factor = fit.log_factor + (starts * pull - both * pull_start) / determinant
    return _Fit(
        # A first step from far away can go much too far.
        log_factor=min(max(log_factor, -MOST_LOG_FACTOR), MOST_LOG_FACTOR),
        off_c=fit.off_c + (factors * pull_start - both * pull) / determinant,
        doubt=sqrt(starts / determinant),
    )


def _faults(
    readings: tuple[TemperatureReading, ...], room: Room, start_c: float
) -> tuple[Problem, ...]:
    return tuple(
        fault for reading in readings for fault in _faults_of(reading, room, start_c) if fault
    )


def _faults_of(
    reading: TemperatureReading, room: Room, start_c: float
) -> tuple[Problem | None, ...]:
    in_time = EARLIEST_S <= reading.at_s <= LATEST_S
    lowest_c = room.temperature_c + LEAST_ABOVE_ROOM_C
    return (
        None
        if in_time
        else Problem(
            where=_where(reading),
            rule="a reading tells from 2 to 60 minutes after the pour",
            found=clock(reading.at_s),
            remedy="Measure a bowl between the break and the last round.",
        ),
        None
        if lowest_c <= reading.temperature_c <= start_c + HOTTER_C
        else Problem(
            where=_where(reading),
            rule=f"coffee in this bowl lies between {lowest_c:.0f} and {start_c + HOTTER_C:.0f} C",
            found=f"{reading.temperature_c:.1f} C",
            remedy="Measure again; if it stays, look at the bowl's mass and the pour.",
        ),
    )


def _misfits(
    readings: tuple[TemperatureReading, ...], misfits: list[float], fit: _Fit, bowl: Bowl
) -> tuple[Problem, ...]:
    moved = abs(fit.log_factor - log(bowl.loss_factor)) / bowl.loss_doubt
    return tuple(
        Problem(
            where=_where(reading),
            rule="a reading goes with what is known of the bowl",
            found=f"{reading.temperature_c:.1f} C, {abs(misfit):.1f} C off",
            remedy="Stir and measure again; if it stays, look at the bowl's mass and width.",
        )
        for reading, misfit in zip(readings, misfits, strict=True)
        if abs(misfit) > LARGEST_MISFIT_C or moved > FURTHEST
    )


def _where(reading: TemperatureReading) -> str:
    return f"Reading at {clock(reading.at_s)}"
