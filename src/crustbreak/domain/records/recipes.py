"""How the cups are made."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """Dose, water, times and pace, the same for every cup of a table.

    dose_g:      whole beans a cup, weighed before grinding, g.
    water_ml:    hot water a cup, ml.
    steep_s:     from the pour of a cup to its break, s.
    pace_s:      from one cup to the next, pouring and breaking alike, s.
    pour_c:      water at contact, degrees C.
    source:      where the figures come from.
    bowl:        kind of bowl that it is poured into; empty for the lab's.
    """

    dose_g: float
    water_ml: float
    steep_s: int
    pace_s: int
    pour_c: float
    source: str
    bowl: str = ""


# A bowl further off than this is said to differ. Dose and water: common practice, no source. Steep:
# our judgement, and what the course of the pours is made by.
DOSE_WITHIN_G = 0.25
WATER_WITHIN_G = 2.0
STEEP_WITHIN_S = 10

# Dose, water, steep and temperature: [S1]. A pour to a line takes about 8 s a cup: common
# practice, no source.
STANDARD = Recipe(
    dose_g=8.25, water_ml=150, steep_s=240, pace_s=8, pour_c=93, source="S1, 2004 protocol"
)
