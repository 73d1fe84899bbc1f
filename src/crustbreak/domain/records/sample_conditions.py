"""What a host may say beside a plan: of the samples, the roast, the grind and the day."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleConditions:
    """Figures that nobody has to give; None where nobody said.

    sample_g:    green there is of the smallest sample, g.
    graded:      that sample is graded as well; retained: two portions of it are kept back.
    youngest_h, oldest_h:  from the roast to the pour, of the last roasted coffee and the first, h.
    ground_min:  from the grinding of a cup to its pour, min; lidded: it stands lidded.
    swallowed:   spoons that a taster swallows over the whole table.
    earlier_mg:  caffeine that a taster had earlier that day, mg.
    """

    sample_g: float | None = None
    graded: bool = False
    retained: bool = False
    youngest_h: float | None = None
    oldest_h: float | None = None
    ground_min: float | None = None
    lidded: bool = False
    swallowed: int = 0
    earlier_mg: float = 0.0


# What holds of older tables, and where nothing was said.
NOTHING_SAID = SampleConditions()
