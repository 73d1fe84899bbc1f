"""What is left in a bowl to taste, who takes it, and the caffeine in it."""

from dataclasses import dataclass
from math import ceil

from crustbreak.domain.planning.phrases import format_count
from crustbreak.domain.planning.quantities.equipment import Means
from crustbreak.domain.records.recipes import Recipe

# Of the dose, when all of it goes into the liquor: arabica is about 1.2 % caffeine in dry matter
# (from memory), robusta about twice that.
CAFFEINE_SHARE = 0.012
MG_A_G = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Liquor:
    """What the bowls of a coffee hold to taste, and what is asked of them.

    left_ml:   one bowl, ml.
    asked_ml:  all tasters, over the whole table, of one coffee, ml.
    """

    left_ml: float
    asked_ml: float

    @property
    def bowls(self) -> int | None:
        """How many bowls that is of a coffee; None when a bowl leaves nothing to taste."""
        return ceil(round(self.asked_ml / self.left_ml, 6)) if self.left_ml > 0 else None

    @property
    def said(self) -> str:
        """The line of a plan."""
        need = "" if self.bowls is None else f": {format_count(self.bowls, 'bowl')}"
        return (
            f"A bowl leaves about {max(0, self.left_ml):.0f} ml to taste; the tasters take "
            f"{self.asked_ml:.0f} ml of a coffee{need}."
        )


def liquor(recipe: Recipe, means: Means, *, tasters: int, spoons: int) -> Liquor:
    """Return what a bowl leaves to taste and what the tasters ask of a coffee.

        left = water - absorbed x dose - what stays over the grounds

    Args:     spoons: that a taster takes of the coffee, over all rounds.
    Returns:  ml; a gram of liquor counts as a ml. What steam takes is not counted.
    Source:   about 100 ml of 150: common practice, no source.

    >>> from crustbreak.domain.planning.quantities.equipment import USUAL
    >>> from crustbreak.domain.records.recipes import STANDARD
    >>> round(liquor(STANDARD, USUAL, tasters=12, spoons=3).left_ml)
    103
    """
    return Liquor(
        left_ml=recipe.water_ml - means.absorbed_g_a_g * recipe.dose_g - means.over_grounds_ml,
        asked_ml=tasters * spoons * means.spoon_ml,
    )


def caffeine_mg(recipe: Recipe, means: Means, *, spoons: int) -> float:
    """Return the caffeine in spoons that are swallowed.

    An upper figure for arabica: all the caffeine of the dose is taken to be in the liquor. How
    much is taken up from a spoon that is spat out is not known; it is not counted, and not none.

    Returns:  mg.
    Valid for arabica; robusta has about twice as much.
    Source:   0.66 mg/ml at 8.25 g and 150 ml, worked out from 1.2 % of the dose (from memory).

    >>> from crustbreak.domain.planning.quantities.equipment import USUAL
    >>> from crustbreak.domain.records.recipes import STANDARD
    >>> round(caffeine_mg(STANDARD, USUAL, spoons=150))
    495
    """
    return spoons * means.spoon_ml * CAFFEINE_SHARE * MG_A_G * recipe.dose_g / recipe.water_ml
