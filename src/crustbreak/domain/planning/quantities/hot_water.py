"""Hot water: what a bowl weighs on the scale, and how many bowls a kettle serves."""

from dataclasses import dataclass

from crustbreak.core.errors import OutOfRange
from crustbreak.domain.planning.phrases import format_count
from crustbreak.domain.planning.quantities.equipment import Means
from crustbreak.domain.records.recipes import Recipe


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterAmount:
    """The water of a table, as a volume at the temperature of the pour and as a mass.

    bowls:   how many.
    pour_c:  temperature of the pour, degrees C.
    bowl_ml, bowl_g:  one bowl, ml and g.
    """

    bowls: int
    pour_c: float
    bowl_ml: float
    bowl_g: float

    @property
    def total_ml(self) -> float:
        """All bowls, ml of hot water."""
        return self.bowls * self.bowl_ml

    @property
    def total_g(self) -> float:
        """All bowls, g."""
        return self.bowls * self.bowl_g

    @property
    def said(self) -> str:
        """The line of a plan."""
        return (
            f"{self.bowl_ml:g} ml of water at {self.pour_c:g} C is {self.bowl_g:.1f} g on the "
            f"scale; {format_count(self.bowls, 'bowl')} take {self.total_ml:,.0f} ml, "
            f"{self.total_g:,.0f} g."
        )


def water_amount(recipe: Recipe, *, bowls: int, density_kg_m3: float) -> WaterAmount:
    """Return the water of a table so that it can be poured on a scale.

    Args:     density_kg_m3: of water at the temperature of the pour, kg/m3.
    Source:   mass = volume x density. Hot water is lighter: a litre at 93 C weighs 963 g.

    >>> from crustbreak.domain.records.recipes import STANDARD
    >>> round(water_amount(STANDARD, bowls=30, density_kg_m3=963).bowl_g, 2)
    144.45
    """
    return WaterAmount(
        bowls=bowls,
        pour_c=recipe.pour_c,
        bowl_ml=recipe.water_ml,
        bowl_g=recipe.water_ml * density_kg_m3 / 1000,
    )


def bowls_a_fill(recipe: Recipe, means: Means) -> int:
    """Return how many whole bowls a full kettle serves: no bowl is poured out of two fills.

    Raises:  OutOfRange when it is not even one.
    """
    bowls = int(round((means.kettle_ml - means.kettle_rest_ml) / recipe.water_ml, 6))
    if bowls < 1:
        raise OutOfRange(
            f"A kettle of {means.kettle_ml:g} ml, {means.kettle_rest_ml:g} ml of which cannot be "
            f"poured, does not fill a bowl of {recipe.water_ml:g} ml.",
            hint="Take a larger kettle.",
        )
    return bowls
