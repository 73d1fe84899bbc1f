from dataclasses import replace

import pytest

from crustbreak.core.errors import OutOfRange
from crustbreak.domain.brewing.bowls import HEAVY_CERAMIC, STANDARD_GLASS, STEEL, Bowl, Room
from crustbreak.domain.brewing.heat import (
    HeatFlow,
    after_pour_c,
    heat_capacity_j_per_k,
    heat_flow,
)
from crustbreak.domain.records.recipes import STANDARD

ROOM = Room(temperature_c=22)


def flow(temperature_c: float, room: Room = ROOM, bowl: Bowl = STANDARD_GLASS) -> HeatFlow:
    return heat_flow(bowl, room, recipe=STANDARD, temperature_c=temperature_c)


def test_what_the_bowl_takes_the_water_gives() -> None:
    mixed_c = after_pour_c(HEAVY_CERAMIC, ROOM, recipe=STANDARD)

    # By hand: 144.5 g of water at 4.19; 270 g of ceramic at 0.88 and 8.25 g of coffee at 1.5.
    given_j = 144.49 * 4.19 * (93 - mixed_c)
    taken_j = (270 * 0.88 + 8.25 * 1.5) * (mixed_c - 22)
    assert given_j == pytest.approx(taken_j, rel=1e-3)
    capacity = heat_capacity_j_per_k(HEAVY_CERAMIC, recipe=STANDARD)
    assert capacity == pytest.approx(144.49 * 4.19 + 270 * 0.88 + 8.25 * 1.5, rel=1e-4)


def test_a_preheated_bowl_takes_less() -> None:
    cold = after_pour_c(HEAVY_CERAMIC, ROOM, recipe=STANDARD)
    warm = after_pour_c(replace(HEAVY_CERAMIC, preheated_c=60), ROOM, recipe=STANDARD)
    as_the_room = after_pour_c(replace(HEAVY_CERAMIC, preheated_c=22), ROOM, recipe=STANDARD)

    assert cold < warm < 93
    assert as_the_room == cold


def test_nothing_flows_in_a_moist_room_of_the_same_temperature() -> None:
    still = flow(25, Room(temperature_c=25, humidity_percent=100))

    assert still.total_w == pytest.approx(0, abs=1e-12)


def test_dry_air_cools_what_is_as_warm_as_the_room() -> None:
    dry = flow(22)

    assert dry.evaporation_w > 0
    assert dry.convection_w == dry.radiation_w == dry.wall_w == 0


def test_radiation_is_that_of_the_law() -> None:
    # Stefan and Boltzmann by hand: 0.95 x 5.6704e-8 x (344.15^4 - 295.15^4) x 36.32 cm2.
    expected_w = 0.95 * 5.6704e-8 * (344.15**4 - 295.15**4) * 36.32e-4

    assert flow(71).radiation_w == pytest.approx(expected_w, rel=1e-3)


def test_the_free_plate_evaporates_as_analogy_says() -> None:
    ways = flow(71)

    # Lewis's relation for water in air, from memory: at equal Lewis and Prandtl behaviour the
    # two flows are to each other as L D / k x difference of vapour density / of temperature,
    # here 2.33e6 x 2.9e-5 / 0.028 x (0.207 - 0.010) / 49, times 1.2 for the drift.
    expected = 2.33e6 * 2.9e-5 / 0.028 * (0.207 - 0.010) / 49 * 1.2
    assert ways.evaporation_w / ways.convection_w == pytest.approx(expected, rel=0.15)


def test_hotter_coffee_loses_more_by_every_way() -> None:
    warm, hot = flow(50), flow(80)

    for way in ("evaporation_w", "convection_w", "radiation_w", "wall_w"):
        assert getattr(hot, way) > getattr(warm, way) > 0


def test_humidity_holds_evaporation_back_and_height_helps_it() -> None:
    assert flow(70, Room(temperature_c=30, humidity_percent=90)).evaporation_w < (
        flow(70, Room(temperature_c=30, humidity_percent=10)).evaporation_w
    )
    assert flow(70, Room(temperature_c=22, altitude_m=2500)).evaporation_w > flow(70).evaporation_w


def test_bright_steel_radiates_less() -> None:
    assert flow(70, bowl=replace(STANDARD_GLASS, material=STEEL)).wall_w < flow(70).wall_w


def test_water_that_would_boil_there_is_refused() -> None:
    high = Room(temperature_c=22, altitude_m=2500)

    with pytest.raises(OutOfRange, match="pour's temperature here"):
        after_pour_c(STANDARD_GLASS, high, recipe=STANDARD)
    with pytest.raises(OutOfRange, match="vapour"):
        flow(95, high)


def test_a_bowl_hotter_than_the_water_is_refused() -> None:
    with pytest.raises(OutOfRange, match="bowl's temperature"):
        after_pour_c(replace(STANDARD_GLASS, preheated_c=95), ROOM, recipe=STANDARD)
