"""Where the heat of a poured bowl goes: into the bowl at once, then into the room.

Coffee, grounds and the warmed part of the bowl are one body of one temperature. It loses heat
through its open surface (convection, evaporation, radiation) and through the wall as far up as
coffee stands; the bottom stands on the table and loses nothing. Two constants were set so that
three bowls meet common practice; all others are handbook values.
"""

import math
from dataclasses import dataclass

from crustbreak.domain.brewing.bowls import Bowl, Room
from crustbreak.domain.brewing.valid_range import within
from crustbreak.domain.brewing.water import (
    SEA_LEVEL_HPA,
    ZERO_C_IN_K,
    air_pressure_hpa,
    boiling_point_c,
    poured_g,
    vapour_pressure_hpa,
)
from crustbreak.domain.records.recipes import Recipe

# Set to match common practice. How much of the bowl's mass warms with the coffee: the rim above
# it stays cooler. How much of a free surface's convection and evaporation gets away: crust and
# foam cover it, and the rim stands around it.
HEATED_SHARE = 0.9
SURFACE_SHARE = 0.17

# Handbook values, from memory.
WATER_J_PER_G_K = 4.19
GROUNDS_J_PER_G_K = 1.5
GROUNDS_ML_PER_G = 0.7
WATER_EMISSIVITY = 0.95
STEFAN_BOLTZMANN = 5.670374e-8
GRAVITY = 9.80665
DRY_AIR_J_PER_KG_K = 287.05
VAPOUR_J_PER_KG_K = 461.5
AIR_J_PER_KG_K = 1007
# How much lighter vapour is than air: 1 - 18.015 / 28.96.
VAPOUR_LIGHTER = 0.378
# Air at 300 K and sea level: viscosity m2/s, conductivity W/(m K), and its Prandtl number.
AIR_M2_PER_S = 1.59e-5
AIR_W_PER_M_K = 0.0263
PRANDTL = 0.707
# The Lewis number of vapour in air to the power 2/3.
LEWIS_TERM = 0.9
# Still air moves at about 0.1 m/s; a plate as wide as a bowl loses this much to it, W/(m2 K).
STILL_AIR = 4.0

# The coffee has to be hotter than the room for there to be any cooling to speak of.
LEAST_ABOVE_ROOM_C = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatFlow:
    """What leaves a bowl by each way, W; negative when it comes in."""

    evaporation_w: float
    convection_w: float
    radiation_w: float
    wall_w: float

    @property
    def total_w(self) -> float:
        """All four together."""
        return self.evaporation_w + self.convection_w + self.radiation_w + self.wall_w


def heat_capacity_j_per_k(bowl: Bowl, *, recipe: Recipe) -> float:
    """Return the heat that warms water, grounds and the bowl's warm part by one degree.

    Returns:  J/K.                                     Source: addition.

    >>> from crustbreak.domain.brewing.bowls import STANDARD_GLASS
    >>> from crustbreak.domain.records.recipes import STANDARD
    >>> round(heat_capacity_j_per_k(STANDARD_GLASS, recipe=STANDARD))
    711
    """
    return _water_j_per_k(recipe) + _grounds_j_per_k(recipe) + _bowl_j_per_k(bowl)


def after_pour_c(bowl: Bowl, room: Room, *, recipe: Recipe) -> float:
    """Return the temperature once water, grounds and bowl have shared their heat.

    It takes a thick bowl about a minute; the model takes no time for it.

    Returns:  degrees C.
    Valid for a pour at 10 C above the room up to the boiling point there, in a bowl no hotter
    than the water; OutOfRange otherwise.              Source: conservation of heat.

    >>> from crustbreak.domain.brewing.bowls import STANDARD_GLASS
    >>> from crustbreak.domain.records.recipes import STANDARD
    >>> round(after_pour_c(STANDARD_GLASS, Room(temperature_c=22), recipe=STANDARD), 1)
    82.4
    """
    lowest_c = room.temperature_c + LEAST_ABOVE_ROOM_C
    boiling_c = boiling_point_c(room.altitude_m)
    within(recipe.pour_c, lowest_c, boiling_c, what="The pour's temperature here, C")
    bowl_c = room.temperature_c if bowl.preheated_c is None else bowl.preheated_c
    within(bowl_c, 0, recipe.pour_c, what="The bowl's temperature, C")
    brought_j = (
        _water_j_per_k(recipe) * recipe.pour_c
        + _grounds_j_per_k(recipe) * room.temperature_c
        + _bowl_j_per_k(bowl) * bowl_c
    )
    return brought_j / heat_capacity_j_per_k(bowl, recipe=recipe)


def heat_flow(bowl: Bowl, room: Room, *, recipe: Recipe, temperature_c: float) -> HeatFlow:
    """Return what leaves the bowl at a temperature, without the bowl's own factor.

    Surface: free convection over a plate, Nu = 0.54 Ra^(1/4), joined to that of still air;
    evaporation by the analogy of heat and mass with the drift away from the surface; radiation.
    Wall: free convection along a plate, 1.42 (dT / height)^(1/4), and radiation, at the coffee's
    own temperature, since air resists ten times as much as the wall does.

    Args:     temperature_c: of coffee and bowl, degrees C.
    Returns:  W for each way.
    Valid for 0 C to below the boiling point there; OutOfRange outside.
    Source:   [S22], the equations for plates and the analogy.

    >>> from crustbreak.domain.brewing.bowls import STANDARD_GLASS
    >>> from crustbreak.domain.records.recipes import STANDARD
    >>> room = Room(temperature_c=22)
    >>> round(heat_flow(STANDARD_GLASS, room, recipe=STANDARD, temperature_c=71).total_w, 1)
    12.8
    """
    # Not the boiling point itself: it takes long to find, and this is asked for at every step.
    vapour_share = vapour_pressure_hpa(temperature_c) / air_pressure_hpa(room.altitude_m)
    within(
        vapour_share,
        0,
        0.999,
        what="The vapour's share of the air's pressure",
    )
    width_m = bowl.width_mm / 1000
    surface_m2 = math.pi / 4 * width_m**2
    content_ml = recipe.water_ml + GROUNDS_ML_PER_G * recipe.dose_g
    height_m = content_ml * 1e-6 / surface_m2
    wall_m2 = math.pi * width_m * height_m
    above_c = temperature_c - room.temperature_c
    radiated = _radiated_w_per_m2(temperature_c, room.temperature_c)
    plate = _plate_w_per_m2_k(width_m, room, temperature_c)
    along = 1.42 * (abs(above_c) / height_m) ** 0.25
    return HeatFlow(
        evaporation_w=SURFACE_SHARE * surface_m2 * _evaporated_w_per_m2(plate, room, temperature_c),
        convection_w=SURFACE_SHARE * surface_m2 * plate * above_c,
        radiation_w=WATER_EMISSIVITY * surface_m2 * radiated,
        wall_w=wall_m2 * (along * above_c + bowl.material.emissivity * radiated),
    )


def _water_j_per_k(recipe: Recipe) -> float:
    return WATER_J_PER_G_K * poured_g(recipe.water_ml, pour_c=recipe.pour_c)


def _grounds_j_per_k(recipe: Recipe) -> float:
    return GROUNDS_J_PER_G_K * recipe.dose_g


def _bowl_j_per_k(bowl: Bowl) -> float:
    return HEATED_SHARE * bowl.material.heat_j_per_g_k * bowl.mass_g


def _radiated_w_per_m2(temperature_c: float, room_c: float) -> float:
    warm_k, room_k = temperature_c + ZERO_C_IN_K, room_c + ZERO_C_IN_K
    return STEFAN_BOLTZMANN * (warm_k**4 - room_k**4)


def _vapour_hpa(room: Room) -> float:
    return room.humidity_percent / 100 * vapour_pressure_hpa(room.temperature_c)


def _film_k(room: Room, temperature_c: float) -> float:
    return (temperature_c + room.temperature_c) / 2 + ZERO_C_IN_K


def _plate_w_per_m2_k(width_m: float, room: Room, temperature_c: float) -> float:
    """Return the heat that a free wet plate loses to the air, W/(m2 K)."""
    pressure_hpa = air_pressure_hpa(room.altitude_m)
    film_k = _film_k(room, temperature_c)
    # Moist air rises as dry air of a higher temperature would.
    warm_k = (temperature_c + ZERO_C_IN_K) / (
        1 - VAPOUR_LIGHTER * vapour_pressure_hpa(temperature_c) / pressure_hpa
    )
    room_k = (room.temperature_c + ZERO_C_IN_K) / (
        1 - VAPOUR_LIGHTER * _vapour_hpa(room) / pressure_hpa
    )
    viscosity = AIR_M2_PER_S * (film_k / 300) ** 1.75 * SEA_LEVEL_HPA / pressure_hpa
    conductivity = AIR_W_PER_M_K * (film_k / 300) ** 0.8
    # Area over rim.
    length_m = width_m / 4
    buoyancy = GRAVITY * abs(warm_k - room_k) / film_k
    rayleigh = buoyancy * length_m**3 * PRANDTL / viscosity**2
    free = 0.54 * rayleigh**0.25 * conductivity / length_m
    return math.cbrt(free**3 + STILL_AIR**3)


def _evaporated_w_per_m2(plate: float, room: Room, temperature_c: float) -> float:
    """Return the heat that vapour takes along from a free wet plate, W/m2."""
    pressure_hpa = air_pressure_hpa(room.altitude_m)
    film_k = _film_k(room, temperature_c)
    air_kg_per_m3 = 100 * pressure_hpa / (DRY_AIR_J_PER_KG_K * film_k)
    transfer_m_per_s = plate / (air_kg_per_m3 * AIR_J_PER_KG_K * LEWIS_TERM)
    drift = math.log(
        (pressure_hpa - _vapour_hpa(room)) / (pressure_hpa - vapour_pressure_hpa(temperature_c))
    )
    vapour_kg = transfer_m_per_s * 100 * pressure_hpa / (VAPOUR_J_PER_KG_K * film_k) * drift
    latent_j_per_kg = 2.501e6 - 2361 * temperature_c
    return vapour_kg * latent_j_per_kg
