"""Hot water: what a bowl weighs on the scale, and how many kettles a table takes."""

from dataclasses import dataclass
from math import ceil

from crustbreak.domain.planning.means import Means
from crustbreak.domain.planning.saying import say_count
from crustbreak.domain.records.recipes import Recipe
from crustbreak.footing.errors import OutOfRange
from crustbreak.footing.units import clock


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
            f"scale; {say_count(self.bowls, 'bowl')} take {self.total_ml:,.0f} ml, "
            f"{self.total_g:,.0f} g."
        )


def water_amount(recipe: Recipe, *, bowls: int, density_kg_m3: float) -> WaterAmount:
    """Give the water of a table so that it can be poured on a scale.

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Fill:
    """One filling of one kettle, and the wave of bowls that it serves.

    kettle:   which, from 1.
    bowls:    how many it serves.
    from_s:   its first pour begins, s after the table's first.
    until_s:  its last pour is done, s after the table's first.
    """

    kettle: int
    bowls: int
    from_s: float
    until_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Pouring:
    """How the water of a table is boiled and poured.

    fills:         in the order in which they are poured.
    kettlefuls:    how often a kettle's water is wanted, by volume alone.
    total_ml:      water in all bowls, ml.
    in_one_go_s:   the pours alone, s.
    """

    fills: tuple[Fill, ...]
    kettlefuls: int
    total_ml: float
    in_one_go_s: float

    @property
    def until_s(self) -> float:
        """The last bowl is poured, s after the first pour began."""
        return self.fills[-1].until_s

    @property
    def waiting_s(self) -> float:
        """Spent waiting for a kettle between two pours, s."""
        return self.until_s - self.in_one_go_s

    @property
    def reheats(self) -> int:
        """How often a kettle has to be heated again."""
        return len(self.fills) - len({fill.kettle for fill in self.fills})

    @property
    def said(self) -> str:
        """The line of a plan."""
        bowls = " + ".join(str(fill.bowls) for fill in self.fills)
        total = sum(fill.bowls for fill in self.fills)
        return (
            f"{say_count(total, 'bowl')} take {self.total_ml:,.0f} ml, "
            f"{say_count(self.kettlefuls, 'kettleful')}; poured from "
            f"{say_count(len(self.fills), 'fill')} ({bowls}) with "
            f"{say_count(self.reheats, 'reheat')}: the last bowl is full at {clock(self.until_s)}."
        )


def bowls_a_fill(recipe: Recipe, means: Means) -> int:
    """Give how many whole bowls a full kettle serves: no bowl is poured out of two fills.

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


def plan_pouring(recipe: Recipe, means: Means, *, bowls: int) -> Pouring:
    """Give the fills of the kettles, the bowls that each serves, and when.

    The kettles are hot at the first pour, are emptied one after the other, and each goes back to
    heat as soon as it is empty. One person pours, at the recipe's pace.

    Args:     bowls: 1 or more.
    Returns:  the fills. `kettlefuls` counts by volume alone, which is less where a kettle does
              not hold a whole number of bowls: 19 bowls of 150 ml are three litres' worth, but a
              kettle of one litre fills six bowls at a time, so it is filled four times.
    Raises:   OutOfRange when a kettle does not fill one bowl.

    >>> from dataclasses import replace
    >>> from crustbreak.domain.planning.means import USUAL
    >>> from crustbreak.domain.records.recipes import STANDARD
    >>> litre = replace(USUAL, kettle_rest_ml=0)
    >>> poured = plan_pouring(STANDARD, litre, bowls=19)
    >>> poured.kettlefuls, [fill.bowls for fill in poured.fills]
    (3, [6, 6, 6, 1])
    """
    most = bowls_a_fill(recipe, means)
    fills: list[Fill] = []
    for nth in range(ceil(bowls / most)):
        served = min(most, bowls - nth * most)
        emptied = fills[-1].until_s if fills else 0
        hot = fills[nth - means.kettles].until_s + means.reheat_s if nth >= means.kettles else 0
        begins = max(emptied, hot)
        fills.append(
            Fill(
                kettle=nth % means.kettles + 1,
                bowls=served,
                from_s=begins,
                until_s=begins + served * recipe.pace_s,
            )
        )
    total_ml = bowls * recipe.water_ml
    usable_ml = means.kettle_ml - means.kettle_rest_ml
    return Pouring(
        fills=tuple(fills),
        kettlefuls=ceil(round(total_ml / usable_ml, 6)),
        total_ml=total_ml,
        in_one_go_s=bowls * recipe.pace_s,
    )
