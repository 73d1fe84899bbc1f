import pytest

from crustbreak.core.errors import OutOfRange
from crustbreak.domain.brewing.water import (
    air_pressure_hpa,
    boiling_point_c,
    density_kg_per_m3,
    highest_pour_m,
    poured_g,
    vapour_pressure_hpa,
)

# The standard atmosphere's table over geopotential height [S18], and again by the public program
# ambiance 1.3.1, which follows ICAO Doc 7488: hPa.
ATMOSPHERE = [
    (-500, 1074.78),
    (0, 1013.25),
    (500, 954.61),
    (1000, 898.75),
    (1500, 845.56),
    (2000, 794.95),
    (2500, 746.83),
    (3000, 701.09),
    (4000, 616.40),
    (5000, 540.20),
]

# Saturation temperatures of IAPWS-IF97 at round pressures, by the public program iapws 1.5.5;
# they are those of the steam tables. At 1000 hPa the release's own check value is 372.755919 K.
BOILING = [
    (600, 85.926),
    (700, 89.932),
    (800, 93.485),
    (900, 96.687),
    (1000, 99.606),
    (1013.25, 99.974),
]

# Vapour pressures of the steam tables, hPa; values from memory, those of IAPWS-95.
VAPOUR = [(0.01, 6.117), (25, 31.70), (50, 123.52), (60, 199.47), (80, 474.16), (100, 1014.18)]

# Density at 0.101325 MPa of IAPWS-IF97, by the public program iapws 1.5.5, kg/m3. The handbook's
# table (CRC, from memory) agrees within 0.05: 998.21 at 20 C, 983.20 at 60, 971.82 at 80.
DENSITIES = [
    (4, 999.975),
    (10, 999.702),
    (20, 998.206),
    (25, 997.048),
    (40, 992.224),
    (60, 983.211),
    (80, 971.803),
    (90, 965.319),
    (93, 963.279),
    (99, 959.072),
]


@pytest.mark.parametrize(("altitude_m", "pressure_hpa"), ATMOSPHERE)
def test_the_air_presses_as_in_the_standard_atmosphere(
    altitude_m: float, pressure_hpa: float
) -> None:
    assert air_pressure_hpa(altitude_m) == pytest.approx(pressure_hpa, abs=0.01)


@pytest.mark.parametrize(("temperature_c", "pressure_hpa"), VAPOUR)
def test_vapour_presses_as_in_the_steam_tables(temperature_c: float, pressure_hpa: float) -> None:
    assert vapour_pressure_hpa(temperature_c) == pytest.approx(pressure_hpa, rel=2e-4)


@pytest.mark.parametrize(("pressure_hpa", "boiling_c"), BOILING)
def test_water_boils_where_the_steam_tables_say(pressure_hpa: float, boiling_c: float) -> None:
    # The altitude of a pressure, by the same formula as in the published table's preface.
    altitude_m = 288.15 / 0.0065 * (1 - (pressure_hpa / 1013.25) ** (1 / 5.25588))

    assert boiling_point_c(altitude_m) == pytest.approx(boiling_c, abs=0.003)


@pytest.mark.parametrize("altitude_m", [500, 1000, 1500, 2000, 3000])
def test_each_300_m_cost_about_a_degree(altitude_m: float) -> None:
    # Common practice, no source: 1 C for each 300 m, good to 0.3 C.
    assert boiling_point_c(altitude_m) == pytest.approx(100 - altitude_m / 300, abs=0.3)


@pytest.mark.parametrize(("pour_c", "altitude_m"), [(94.4, 1675), (93.0, 2094), (92.2, 2334)])
def test_the_pour_window_closes_on_the_way_up(pour_c: float, altitude_m: float) -> None:
    # The window of [S1] is 92.2 to 94.4 C; the heights were worked out apart from this program,
    # from [S18] and [S19].
    assert highest_pour_m(pour_c) == pytest.approx(altitude_m, abs=1)


@pytest.mark.parametrize("altitude_m", [-400, 0, 1234, 4900])
def test_the_height_of_a_boiling_point_is_where_one_was(altitude_m: float) -> None:
    assert highest_pour_m(boiling_point_c(altitude_m)) == pytest.approx(altitude_m, abs=1e-6)


@pytest.mark.parametrize(("temperature_c", "density"), DENSITIES)
def test_water_is_as_dense_as_in_the_tables(temperature_c: float, density: float) -> None:
    assert density_kg_per_m3(temperature_c) == pytest.approx(density, abs=0.02)


def test_150_ml_of_hot_water_are_not_150_g() -> None:
    # The trade's control chart (SCA, third version, March 2019) has 1 l at 93 C as 963 g.
    assert poured_g(1000, pour_c=93) == pytest.approx(963, abs=0.5)
    assert poured_g(150, pour_c=93) == pytest.approx(0.963 * 150, abs=0.1)


def test_what_lies_outside_is_refused() -> None:
    for outside in (lambda: air_pressure_hpa(5001), lambda: boiling_point_c(-501)):
        with pytest.raises(OutOfRange, match="altitude"):
            outside()
    for refused in (
        lambda: vapour_pressure_hpa(-1),
        lambda: density_kg_per_m3(101),
        lambda: highest_pour_m(80),
    ):
        with pytest.raises(OutOfRange, match="temperature"):
            refused()
