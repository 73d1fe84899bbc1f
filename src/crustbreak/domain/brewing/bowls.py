"""Bowls and rooms, as far as coffee cools in them."""

from dataclasses import dataclass

from crustbreak.domain.brewing.valid_range import within
from crustbreak.domain.brewing.water import HIGHEST_M, LOWEST_M

# Of a bowl whose losses nobody has measured, and of what it takes at the pour. Our judgement.
LOSS_DOUBT = 0.2
START_DOUBT_C = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """What a bowl is made of.

    name:            as people say it.
    heat_j_per_g_k:  heat that warms a gram by a degree, J/(g K).
    emissivity:      how well it radiates, 0 to 1.
    """

    name: str
    heat_j_per_g_k: float
    emissivity: float


# Handbook values for about 50 C, from memory. Plastics lie between 1.2 and 1.9.
CERAMIC = Material(name="ceramic", heat_j_per_g_k=0.88, emissivity=0.9)
GLASS = Material(name="glass", heat_j_per_g_k=0.80, emissivity=0.9)
PLASTIC = Material(name="plastic", heat_j_per_g_k=1.7, emissivity=0.9)
STEEL = Material(name="steel", heat_j_per_g_k=0.50, emissivity=0.3)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bowl:
    """One kind of bowl.

    kind:           the lab's name for it.
    width_mm:       inside, at the coffee's surface, 40 to 200 mm.
    mass_g:         of the empty bowl, 5 to 2000 g.
    material:       of its wall.
    preheated_c:    its own temperature at the pour, degrees C; absent: the room's.
    loss_factor:    its losses as a multiple of the model's; 1 until it was measured.
    loss_doubt:     standard deviation of the factor's logarithm, 0.01 to 1.
    start_doubt_c:  standard deviation of the temperature right after the pour, 0.1 to 10 degrees C.
    source:         where the figures come from.
    """

    kind: str
    width_mm: float
    mass_g: float
    material: Material
    preheated_c: float | None = None
    loss_factor: float = 1.0
    loss_doubt: float = LOSS_DOUBT
    start_doubt_c: float = START_DOUBT_C
    source: str

    def __post_init__(self) -> None:
        within(self.width_mm, 40, 200, what="The bowl's width, mm")
        within(self.mass_g, 5, 2000, what="The bowl's mass, g")
        within(self.loss_factor, 0.2, 5, what="The bowl's loss factor")
        within(self.loss_doubt, 0.01, 1, what="The bowl's doubt")
        within(self.start_doubt_c, 0.1, 10, what="The doubt of the start, C")


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """The air around the table.

    temperature_c:     0 to 45 degrees C.
    humidity_percent:  relative humidity, 0 to 100.
    altitude_m:        for the air's pressure, -500 to 5000 m.
    """

    temperature_c: float
    humidity_percent: float = 50
    altitude_m: float = 0

    def __post_init__(self) -> None:
        within(self.temperature_c, 0, 45, what="The room's temperature, C")
        within(self.humidity_percent, 0, 100, what="The room's humidity, %")
        within(self.altitude_m, LOWEST_M, HIGHEST_M, what="The altitude, m")


# What practice does not name was chosen so that they meet it, as the tests show; hence half the
# doubt of any other bowl.
STANDARD_GLASS = Bowl(
    kind="standard glass",
    width_mm=68,
    mass_g=130,
    material=GLASS,
    loss_doubt=0.1,
    source="kind of glass: S1; mass, and width where the coffee stands: our choice, no source",
)
HEAVY_CERAMIC = Bowl(
    kind="heavy ceramic",
    width_mm=98,
    mass_g=300,
    material=CERAMIC,
    loss_doubt=0.1,
    source="mass: common practice, no source; width: our choice, no source",
)
LIGHT_PLASTIC = Bowl(
    kind="light plastic",
    width_mm=98,
    mass_g=43,
    material=PLASTIC,
    loss_doubt=0.1,
    source="mass: common practice, no source; width: our choice, no source",
)

BOWLS = (STANDARD_GLASS, HEAVY_CERAMIC, LIGHT_PLASTIC)
