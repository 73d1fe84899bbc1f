"""Air pressure, boiling point and density of water where the kettle stands.

Altitude is geopotential height, as in the standard atmosphere; up to 5,000 m it differs from
height above the sea by less than 4 m.
"""

import math

from crustbreak.domain.brewing.valid_range import within

ZERO_C_IN_K = 273.15

# The standard atmosphere up to 11 km [S18].
SEA_LEVEL_HPA = 1013.25
SEA_LEVEL_K = 288.15
LAPSE_K_PER_M = 0.0065
# Gravity over gas constant of air and lapse rate: 9.80665 / (287.05287 x 0.0065).
PRESSURE_POWER = 5.25588
LOWEST_M = -500
HIGHEST_M = 5000

# Saturation equation of ordinary water [S19], eq. 1: critical point, factors and powers.
CRITICAL_K = 647.096
CRITICAL_HPA = 220_640
SATURATION = (
    (-7.85951783, 1.0),
    (1.84408259, 1.5),
    (-11.7866497, 3.0),
    (22.6807411, 3.5),
    (-15.9618719, 4.0),
    (1.80122502, 7.5),
)
HOTTEST_C = 110

# Density of water at 1 atm [S20], eq. 16: powers of the temperature from 0 up, and the divisor.
DENSITY = (999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12)
DENSITY_DIVISOR = 16.879850e-3

# Halving 110 degrees so often leaves less than a rounding error.
HALVINGS = 60


def air_pressure_hpa(altitude_m: float) -> float:
    """Return the pressure of the standard atmosphere at an altitude.

    p = 1013.25 (1 - 0.0065 h / 288.15)^5.25588

    Args:     altitude_m: height above sea level, m.
    Returns:  pressure, hPa. Weather moves it by up to 3 in 100, the boiling point by 0.8 C.
    Valid for -500 to 5000 m; OutOfRange outside.      Source: [S18].

    >>> round(air_pressure_hpa(2000), 1)
    795.0
    """
    within(altitude_m, LOWEST_M, HIGHEST_M, what="The altitude, m")
    share = math.pow(1 - LAPSE_K_PER_M * altitude_m / SEA_LEVEL_K, PRESSURE_POWER)
    return SEA_LEVEL_HPA * share


def vapour_pressure_hpa(temperature_c: float) -> float:
    """Return the pressure of vapour over water, at saturation.

    ln(p / pc) = (Tc / T) (a1 v + a2 v^1.5 + a3 v^3 + a4 v^3.5 + a5 v^4 + a6 v^7.5), v = 1 - T / Tc

    Args:     temperature_c: of the water, degrees C.
    Returns:  pressure, hPa.
    Valid for 0 to 110 C (the equation for 0.01 to 373.9 C); OutOfRange outside.
    Source:   [S19], eq. 1.

    >>> round(vapour_pressure_hpa(20), 1)
    23.4
    """
    within(temperature_c, 0, HOTTEST_C, what="The water's temperature, C")
    kelvin = temperature_c + ZERO_C_IN_K
    below = 1 - kelvin / CRITICAL_K
    series = sum(factor * below**power for factor, power in SATURATION)
    return CRITICAL_HPA * math.exp(CRITICAL_K / kelvin * series)


def boiling_point_c(altitude_m: float) -> float:
    """Return the boiling point of water at an altitude, in a standard atmosphere.

    Where the vapour's pressure is the air's, found by halving.

    Args:     altitude_m: height above sea level, m.
    Returns:  temperature, degrees C.
    Valid for -500 to 5000 m; OutOfRange outside.      Source: [S18] and [S19], eq. 1.

    >>> round(boiling_point_c(0), 2), round(boiling_point_c(2000), 2)
    (99.97, 93.32)
    """
    pressure_hpa = air_pressure_hpa(altitude_m)
    low_c, high_c = 0.0, float(HOTTEST_C)
    for _ in range(HALVINGS):
        middle_c = (low_c + high_c) / 2
        if vapour_pressure_hpa(middle_c) < pressure_hpa:
            low_c = middle_c
        else:
            high_c = middle_c
    return (low_c + high_c) / 2


def highest_pour_m(pour_c: float) -> float:
    """Return the altitude above which water boils below a pour temperature.

    The formula of the standard atmosphere solved for the height, at the vapour's pressure.

    Args:     pour_c: temperature asked for, degrees C.
    Returns:  altitude, m; below the sea's level, so negative, above 99.97 C.
    Valid for 83.3 to 101.6 C, which is 5000 to -500 m; OutOfRange outside.
    Source:   [S18] and [S19], eq. 1.

    >>> round(highest_pour_m(93))
    2094
    """
    lowest_c, highest_c = boiling_point_c(HIGHEST_M), boiling_point_c(LOWEST_M)
    within(pour_c, lowest_c, highest_c, what="The pour's temperature, C")
    share = vapour_pressure_hpa(pour_c) / SEA_LEVEL_HPA
    return SEA_LEVEL_K / LAPSE_K_PER_M * (1 - math.pow(share, 1 / PRESSURE_POWER))


def density_kg_per_m3(temperature_c: float) -> float:
    """Return the density of water at a temperature, which is also grams a litre.

    Args:     temperature_c: of the water, degrees C.
    Returns:  density at 1 atm, kg/m3. At 5,000 m it is 0.02 less.
    Valid for 0 to 100 C (the equation up to 150 C); OutOfRange outside.
    Source:   [S20], eq. 16.

    >>> round(density_kg_per_m3(93), 1)
    963.3
    """
    within(temperature_c, 0, 100, what="The water's temperature, C")
    above = sum(factor * temperature_c**power for power, factor in enumerate(DENSITY))
    return above / (1 + DENSITY_DIVISOR * temperature_c)


def poured_g(volume_ml: float, *, pour_c: float) -> float:
    """Return what a volume of hot water weighs when it is poured.

    Args:     volume_ml: at the pour's temperature, ml. pour_c: degrees C.
    Returns:  mass, g.
    Valid for 0 to 100 C; OutOfRange outside.          Source: [S20], eq. 16.

    >>> round(poured_g(150, pour_c=93), 1)
    144.5
    """
    return volume_ml * density_kg_per_m3(pour_c) / 1000
