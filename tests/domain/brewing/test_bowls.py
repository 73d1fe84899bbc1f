from dataclasses import replace

import pytest

from crustbreak.core.errors import OutOfRange
from crustbreak.domain.brewing.bowls import (
    CERAMIC,
    GLASS,
    HEAVY_CERAMIC,
    LIGHT_PLASTIC,
    PLASTIC,
    STANDARD_GLASS,
    STEEL,
    Bowl,
    Material,
    Room,
)


def test_the_bowls_of_common_practice_are_there_with_their_sources() -> None:
    # 300 g of ceramic and 43 g of plastic: common practice, no source.
    assert (HEAVY_CERAMIC.mass_g, HEAVY_CERAMIC.material) == (300, CERAMIC)
    assert (LIGHT_PLASTIC.mass_g, LIGHT_PLASTIC.material) == (43, PLASTIC)
    assert STANDARD_GLASS.material == GLASS
    assert all(bowl.source for bowl in (STANDARD_GLASS, HEAVY_CERAMIC, LIGHT_PLASTIC))


def test_materials_hold_heat_as_in_handbooks() -> None:
    # J/(g K), from memory: glazed ware 0.8 to 1.1, soda-lime glass 0.75 to 0.85, stainless steel
    # 0.47 to 0.50, polycarbonate 1.2, polypropylene 1.9.
    assert 0.8 <= CERAMIC.heat_j_per_g_k <= 1.1
    assert 0.75 <= GLASS.heat_j_per_g_k <= 0.85
    assert 0.47 <= STEEL.heat_j_per_g_k <= 0.50
    assert 1.2 <= PLASTIC.heat_j_per_g_k <= 1.9


def test_a_house_may_name_another_material() -> None:
    # Cast iron: 0.46 J/(g K), a handbook value from memory.
    iron = Material(name="iron", heat_j_per_g_k=0.46, emissivity=0.9)

    assert replace(STANDARD_GLASS, material=iron).material.name == "iron"


def test_a_bowl_nobody_measured_is_believed_less() -> None:
    own = Bowl(kind="own", width_mm=90, mass_g=200, material=CERAMIC, source="the house")

    assert own.loss_doubt > STANDARD_GLASS.loss_doubt
    assert own.loss_factor == 1


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("width_mm", 20),
        ("mass_g", 0),
        ("loss_factor", 0),
        ("loss_doubt", 0),
        ("start_doubt_c", 0),
        ("mass_g", float("nan")),
    ],
)
def test_a_bowl_that_cannot_be_is_refused(field: str, value: float) -> None:
    with pytest.raises(OutOfRange, match=r"bowl|doubt"):
        replace(STANDARD_GLASS, **{field: value})


@pytest.mark.parametrize(
    "given", [{"temperature_c": 60}, {"temperature_c": 20, "humidity_percent": 101}]
)
def test_a_room_that_cannot_be_is_refused(given: dict[str, float]) -> None:
    with pytest.raises(OutOfRange, match="room"):
        Room(**given)
