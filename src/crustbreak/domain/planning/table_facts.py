"""A table as planned, with all that can be known before the water boils."""

from dataclasses import dataclass

from crustbreak.domain.planning.quantities.coffee_amounts import SampleUse
from crustbreak.domain.planning.quantities.equipment import Means
from crustbreak.domain.planning.tasting_time import WINDOW_MIN, WRITING_S
from crustbreak.domain.records.recipes import Recipe

# Rest after the roast: [S23], and in other words [S24].
REST_LEAST_H, REST_MOST_H = 8, 24
# Temperature at the pour: [S23], 200 F give or take 2.
POUR_LOW_C, POUR_HIGH_C = 92.2, 94.4


@dataclass(frozen=True, slots=True, kw_only=True)
class Boil:
    """The water where the lab stands, and the window that a pour has to meet.

    altitude_m:    height of the lab, m.
    boiling_c:     where water boils there, degrees C.
    low_c, high_c:  the window at contact, degrees C.
    low_reach_m, high_reach_m:  heights up to which water boils at each of these, m.
    """

    altitude_m: float
    boiling_c: float
    low_reach_m: float
    high_reach_m: float
    low_c: float = POUR_LOW_C
    high_c: float = POUR_HIGH_C


@dataclass(frozen=True, slots=True, kw_only=True)
class DetectableGap:
    """How fine the table's answer is, beside how fine it has to be.

    believing_points:  the smallest gap worth believing with `tasters` tasters, points.
    tasters:           for how many that was worked out.
    matters_points:    the gap that matters, points.
    """

    believing_points: float
    tasters: int
    matters_points: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Timing:
    """When things are planned, around the first pour.

    taste_from_s:  first spoon, from the pour of its bowl, s.
    cooled_s:      a bowl has cooled to a temperature that does not scald, from its pour, s.
    youngest_h, oldest_h:  from the roast to the pour, of the last roasted coffee and the first, h;
                   None where nobody said.
    ground_min:    from the grinding of a cup to its pour, min; None where nobody said.
    lidded:        ground cups stand lidded.
    rest_least_h, rest_most_h:  the rest that the lab asks for, h.
    window_min:    from too hot to too cold, min.
    writing_s:     writing a coffee down in a round, s.
    """

    taste_from_s: float
    cooled_s: float
    youngest_h: float | None = None
    oldest_h: float | None = None
    ground_min: float | None = None
    lidded: bool = False
    rest_least_h: float = REST_LEAST_H
    rest_most_h: float = REST_MOST_H
    window_min: float = WINDOW_MIN
    writing_s: float = WRITING_S


@dataclass(frozen=True, slots=True, kw_only=True)
class TableFacts:
    """All that is looked at before the water boils.

    places:      codes on the table, control and hidden duplicate among them.
    cups:        bowls under each code.
    tasters:     people who taste a code.
    share:       codes that one of them tastes; 0 for all of them.
    rounds:      passes over the cups.
    spoons:      that a taster takes from a bowl in a round.
    shared:      a taster tastes one bowl of each code, not all of them.
    swallowed:   spoons that a taster swallows over the whole table.
    earlier_mg:  caffeine that a taster had earlier that day, mg.
    use:         what the smallest sample has to give.
    boil, gap:   None when they are not known.
    """

    recipe: Recipe
    means: Means
    timing: Timing
    use: SampleUse
    places: int
    cups: int
    tasters: int
    rounds: int
    spoons: int = 1
    shared: bool = False
    swallowed: int = 0
    earlier_mg: float = 0
    boil: Boil | None = None
    gap: DetectableGap | None = None
    share: int = 0

    @property
    def codes_each(self) -> int:
        """Codes that one taster tastes, as long as there are so many."""
        return min(self.share or self.places, self.places)

    @property
    def bowls(self) -> int:
        """Bowls on the table."""
        return self.places * self.cups

    @property
    def bowls_a_round(self) -> int:
        """Bowls that one taster tastes in a round."""
        return self.codes_each if self.shared else self.codes_each * self.cups
