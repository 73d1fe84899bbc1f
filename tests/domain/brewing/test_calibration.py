from dataclasses import replace
from math import exp

import pytest

from crustbreak.core.errors import Unacceptable
from crustbreak.domain.brewing.bowls import GLASS, STANDARD_GLASS, Bowl, Room
from crustbreak.domain.brewing.calibration import TemperatureReading, calibrate
from crustbreak.domain.brewing.cooling import cool, first_round_s
from crustbreak.domain.records.recipes import STANDARD, Recipe

ROOM = Room(temperature_c=22)

# Black coffee in a glass, every two minutes, air at 17 C: [S21], table of the chapter on
# numerical methods. Dose, volume and glass are not stated; those below are a guess that the
# readings have to put right.
FIRST_HALF_C = (82.3, 78.5, 74.3, 70.7, 67.6, 65.0, 62.5, 60.1, 58.1, 56.1, 54.3, 52.8)
SECOND_HALF_C = (51.2, 49.9, 48.6, 47.2, 46.1, 45.0, 43.9, 43.0, 41.9, 41.0, 40.1, 39.5)
PUBLISHED_C = FIRST_HALF_C + SECOND_HALF_C
PUBLISHED_ROOM = Room(temperature_c=17)
# All at 82.3 C at the first reading, glass included.
PUBLISHED_POUR = Recipe(
    dose_g=0, water_ml=200, steep_s=240, pace_s=8, pour_c=82.3, source="S21 and a guess"
)
SOME_GLASS = Bowl(
    kind="a glass",
    width_mm=75,
    mass_g=200,
    material=GLASS,
    preheated_c=82.3,
    loss_doubt=0.3,
    source="a guess",
)


def read(bowl: Bowl, *minutes: float) -> tuple[TemperatureReading, ...]:
    return tuple(
        TemperatureReading(
            at_s=60 * each,
            temperature_c=cool(bowl, ROOM, recipe=STANDARD, at_s=60 * each).temperature_c,
        )
        for each in minutes
    )


def measured(*readings: TemperatureReading, bowl: Bowl = STANDARD_GLASS) -> Bowl:
    return calibrate(bowl, ROOM, recipe=STANDARD, readings=readings)


@pytest.mark.parametrize("minutes", [(10,), (20,), (6, 16), (10, 30)])
def test_one_or_two_readings_foretell_a_published_course(minutes: tuple[int, ...]) -> None:
    readings = tuple(
        TemperatureReading(at_s=60 * m, temperature_c=PUBLISHED_C[m // 2]) for m in minutes
    )

    bowl = calibrate(SOME_GLASS, PUBLISHED_ROOM, recipe=PUBLISHED_POUR, readings=readings)

    # Newton's law through the first and the reading at 10 min is over 6 C off at the end.
    for step, published_c in enumerate(PUBLISHED_C):
        found = cool(bowl, PUBLISHED_ROOM, recipe=PUBLISHED_POUR, at_s=120 * step)
        assert found.temperature_c == pytest.approx(published_c, abs=1.0)
        assert abs(found.temperature_c - published_c) <= found.plus_minus_c


@pytest.mark.parametrize("minutes", [(12,), (16,), (12, 20)])
def test_the_first_round_is_not_before_a_published_cup_was_down_to_65_c(
    minutes: tuple[int, ...],
) -> None:
    readings = tuple(
        TemperatureReading(at_s=60 * m, temperature_c=PUBLISHED_C[m // 2]) for m in minutes
    )

    bowl = calibrate(SOME_GLASS, PUBLISHED_ROOM, recipe=PUBLISHED_POUR, readings=readings)
    measured, guessed = (
        first_round_s(each, PUBLISHED_ROOM, recipe=PUBLISHED_POUR) for each in (bowl, SOME_GLASS)
    )

    # 65.0 C at 10 min: [S21]; that reading is not among those it was told.
    assert 600 <= measured < guessed


def test_readings_as_foreseen_change_nothing_but_the_doubt() -> None:
    bowl = measured(*read(STANDARD_GLASS, 8, 20))

    assert bowl.loss_factor == pytest.approx(1, abs=1e-9)
    assert bowl.loss_doubt < STANDARD_GLASS.loss_doubt
    assert replace(bowl, loss_factor=1, loss_doubt=0.1) == STANDARD_GLASS


def test_no_reading_is_no_change() -> None:
    assert measured() == STANDARD_GLASS


@pytest.mark.parametrize("factor", [0.85, 0.95, 1.1, 1.2])
def test_a_bowl_that_differs_is_found_from_its_readings(factor: float) -> None:
    doubtful = replace(STANDARD_GLASS, loss_doubt=0.3)
    readings = read(replace(doubtful, loss_factor=factor), 10, 20)

    bowl = measured(*readings, bowl=doubtful)

    assert bowl.loss_factor == pytest.approx(factor, rel=0.01)
    assert bowl.loss_doubt < 0.1


def test_a_second_reading_makes_the_error_smaller_and_the_first_round_sooner() -> None:
    one, two = read(STANDARD_GLASS, 10), read(STANDARD_GLASS, 10, 20)
    bowls = (STANDARD_GLASS, measured(*one), measured(*two))

    errors = [cool(bowl, ROOM, recipe=STANDARD, at_s=900).plus_minus_c for bowl in bowls]
    starts = [first_round_s(bowl, ROOM, recipe=STANDARD) for bowl in bowls]

    assert errors[0] > errors[1] > errors[2]
    assert starts[0] > starts[1] > starts[2]


def test_the_order_of_readings_does_not_matter() -> None:
    first, second = (
        TemperatureReading(at_s=480, temperature_c=71.5),
        TemperatureReading(at_s=900, temperature_c=63.9),
    )

    there, back = measured(first, second), measured(second, first)

    assert there.loss_factor == pytest.approx(back.loss_factor, rel=1e-9)
    assert there.loss_doubt == pytest.approx(back.loss_doubt, rel=1e-9)


def test_the_fit_is_that_of_a_search() -> None:
    # Oracle: the sum of squares itself, searched on a grid over both unknowns.
    reading = TemperatureReading(at_s=600, temperature_c=66.5)

    def squares(factor_step: int, off_step: int) -> float:
        log_factor, off_c = factor_step / 200, off_step / 20
        aged_s = 600 * exp(log_factor)
        # A start that is off is a pour that is off, by as much more as the bowl then takes away.
        moved = replace(STANDARD, pour_c=93 + off_c * 711.2 / 605.4)
        found = cool(STANDARD_GLASS, ROOM, recipe=moved, at_s=aged_s).temperature_c
        misfit = (66.5 - found) / 0.5
        return misfit**2 + (log_factor / 0.1) ** 2 + off_c**2

    _, best = min((squares(f, o), f) for f in range(0, 60, 3) for o in range(-30, 5, 4))

    assert measured(reading).loss_factor == pytest.approx(exp(best / 200), abs=0.02)


@pytest.mark.parametrize(
    ("reading", "words"),
    [
        (TemperatureReading(at_s=60, temperature_c=79), "2 to 60 minutes"),
        (TemperatureReading(at_s=4000, temperature_c=40), "2 to 60 minutes"),
        (TemperatureReading(at_s=600, temperature_c=90), "between 32 and 85 C"),
        (TemperatureReading(at_s=600, temperature_c=25), "between 32 and 85 C"),
        (TemperatureReading(at_s=600, temperature_c=45), "goes with what is known"),
    ],
)
def test_a_reading_that_cannot_be_is_named(reading: TemperatureReading, words: str) -> None:
    with pytest.raises(Unacceptable) as refused:
        measured(reading)

    (problem,) = refused.value.problems
    assert words in problem.rule
    assert problem.where.startswith("Reading at")


def test_readings_that_contradict_each_other_are_named() -> None:
    with pytest.raises(Unacceptable):
        measured(
            TemperatureReading(at_s=300, temperature_c=68),
            TemperatureReading(at_s=1200, temperature_c=66),
        )
