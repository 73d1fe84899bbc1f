"""What a table takes of each coffee, and what that leaves of a sample."""

from dataclasses import dataclass
from math import ceil

from crustbreak.domain.planning.phrases import format_count
from crustbreak.domain.planning.quantities.equipment import Means
from crustbreak.domain.records.recipes import Recipe


@dataclass(frozen=True, slots=True, kw_only=True)
class CoffeeAmount:
    """What one table takes of one coffee.

    cups:       bowls of it, under all its codes together.
    dose_g:     whole beans a bowl, g.
    purge_g:    through the grinder first, g.
    colour_g:   for the colour reading, g.
    roasted_g:  to have roasted: all of these, rounded up to the step weighed in, g.
    green_g:    to charge the roaster with for it, rounded up to the same step, g.
    """

    cups: int
    dose_g: float
    purge_g: float
    colour_g: float
    roasted_g: float
    green_g: float

    @property
    def brewed_g(self) -> float:
        """What goes into the bowls, g."""
        return self.cups * self.dose_g

    @property
    def said(self) -> str:
        """The line of a plan."""
        return (
            f"{format_count(self.cups, 'bowl')} of {self.dose_g:g} g, {self.purge_g:g} g to purge "
            f"the "
            f"grinder and {self.colour_g:g} g for the colour: {self.roasted_g:g} g roasted, "
            f"{self.green_g:g} g green."
        )


def coffee_amount(recipe: Recipe, means: Means, *, cups: int) -> CoffeeAmount:
    """Return the grams that a table takes of a coffee.

        roasted = cups x dose + purge + colour        green = roasted / (1 - loss)

    Args:     cups: bowls of it, under all its codes together.
    Returns:  grams, roasted and green rounded up to `weigh_to_g`.
    Valid for one bowl upwards, and for a loss below 1.
    Source:   five bowls of 8.25 g take 55 to 60 g roasted and 65 to 70 g green: common practice,
              no source.

    >>> from crustbreak.domain.planning.quantities.equipment import USUAL
    >>> from crustbreak.domain.records.recipes import STANDARD
    >>> amount = coffee_amount(STANDARD, USUAL, cups=5)
    >>> amount.brewed_g, amount.roasted_g, amount.green_g
    (41.25, 60, 70)
    """
    roasted_g = _rounded_up(
        cups * recipe.dose_g + means.purge_g + means.colour_g, step=means.weigh_to_g
    )
    return CoffeeAmount(
        cups=cups,
        dose_g=recipe.dose_g,
        purge_g=means.purge_g,
        colour_g=means.colour_g,
        roasted_g=roasted_g,
        green_g=_rounded_up(roasted_g / (1 - means.loss_share), step=means.weigh_to_g),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleUse:
    """What a green sample is to give over its life.

    sample_g:  what there is, g; None when nobody has weighed it.
    graded:    it is graded as well as tasted.
    roasts:    how many times it is roasted for a table such as this one.
    retained:  portions kept back.
    codes:     under how many codes it may stand; 2 where one coffee has a hidden duplicate, since
               chance says which, and all have to have enough.
    """

    sample_g: float | None
    graded: bool
    roasts: int
    retained: int
    codes: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleBalance:
    """What a sample gives, and what is then left of it.

    sample_g:    what there is, g.
    grading_g:   laid out for the grading, g.
    roast_g:     green for one roast, g.
    roasts:      how many.
    retained:    portions kept back.
    retained_g:  one portion, g.
    """

    sample_g: float
    grading_g: float
    roast_g: float
    roasts: int
    retained: int
    retained_g: float

    @property
    def needed_g(self) -> float:
        """All that is asked of the sample, g."""
        return self.grading_g + self.roasts * self.roast_g + self.retained * self.retained_g

    @property
    def left_g(self) -> float:
        """What is left, g; below zero when it is short."""
        return self.sample_g - self.needed_g

    @property
    def said(self) -> str:
        """The line of a plan."""
        wanted = (
            f"{self.grading_g:g} g for grading, " if self.grading_g else "",
            f"{self.roasts} x {self.roast_g:g} g to roast",
            f" and {self.retained} x {self.retained_g:g} g to retain" if self.retained else "",
        )
        if self.left_g < 0:
            return (
                f"A sample of {self.sample_g:g} g cannot give {''.join(wanted)}: "
                f"{-self.left_g:g} g short."
            )
        return f"A sample of {self.sample_g:g} g gives {''.join(wanted)}; {self.left_g:g} g left."


def sample_balance(use: SampleUse, amount: CoffeeAmount, means: Means) -> SampleBalance | None:
    """Return what a sample has to give and what is then left; None when nobody weighed it.

    A grading sorts its sample by defects, so nothing of it is counted on for the roast.

    >>> from crustbreak.domain.planning.quantities.equipment import USUAL
    >>> from crustbreak.domain.records.recipes import STANDARD
    >>> offer = SampleUse(sample_g=250, graded=True, roasts=1, retained=2)
    >>> sample_balance(offer, coffee_amount(STANDARD, USUAL, cups=5), USUAL).said
    'A sample of 250 g cannot give 350 g for grading, 1 x 70 g to roast and 2 x 100 g to retain: \
370 g short.'
    """
    if use.sample_g is None:
        return None
    return SampleBalance(
        sample_g=use.sample_g,
        grading_g=means.grading_g if use.graded else 0,
        roast_g=amount.green_g,
        roasts=use.roasts,
        retained=use.retained,
        retained_g=means.retained_g,
    )


def _rounded_up(grams: float, *, step: float) -> float:
    # Without the rounding, 60 g in steps of 0.1 g could come out as 60.1.
    return round(ceil(round(grams / step, 6)) * step, 6)
