"""A planned tasting: who sits there, what stands there, and what was fixed before the pour."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from crustbreak.domain.records.recipes import Recipe
from crustbreak.domain.records.sample_conditions import NOTHING_SAID, SampleConditions
from crustbreak.domain.records.tasting_orders import TastingOrder


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A code and the bowls under it.

    id:    opaque, made for this table alone.
    code:  what the taster sees: three digits, or the letter of the place where bowls are numbered.
    cups:  bowls under this code, numbered from 1.
    is_open:  everybody may know what stands here: it is poured like the rest and held against it,
           and nobody marks it.
    """

    id: str
    code: str
    cups: int
    is_open: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Flight:
    """Places tasted together, in the order in which they stand."""

    id: str
    places: tuple[Place, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """A taster at a table.

    tasting_order:  of this taster, along the places; None, on older tables, as they stand.
    """

    id: str
    taster: str
    tasting_order: TastingOrder | None = None


# From a bowl's pour until it may be tasted, where nobody worked it out: the longest of common
# practice, no source.
USUAL_FIRST_ROUND_S = 1200


@dataclass(frozen=True, slots=True, kw_only=True)
class CupTimes:
    """When a bowl is poured, broken and skimmed as planned, s from the first pour, and by whom.

    pour_by, break_by, skim_by:  who does it, from 1; on older tables all is done by one person.
    """

    pour_s: int
    break_s: int
    skim_s: int
    pour_by: int = 1
    break_by: int = 1
    skim_by: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Screening:
    """Which flight of a screening a table is: more offers than one table takes, in several.

    id:        opaque, the same for all of its tables.
    nth, of:   from 1.
    by_class:  order classes parted the flights; else chance did, over all.
    occasion:  what the host calls the look; seen by the host only.
    """

    id: str
    nth: int
    of: int
    by_class: bool
    occasion: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """What the phone app may know of a planned tasting: no coffee is named here.

    question:    id of the question that it answers.
    sheet:       sheet and version, as `ten_line/1`.
    occasion:    what the host calls it; seen by the host only.
    cut_off:     the figure that decides, fixed before the first pour; its unit is the question's.
    setter:      who fills the bowls and so knows the codes.
    planned_at:  moment of the draw, UTC.
    course:      of each bowl in pouring order; empty for one bowl after the other at the recipe's
                 pace.
    first_round_s:  from a bowl's pour until it may be tasted, s.
    is_numbered: blind by numbered bowls that are shuffled dry: there is no key before their numbers
                 are read.
    conditions:      what the host said of samples, roast, grind and day; seen by the host only.
    screening:   of which screening it is a flight; None for a table by itself.
    asked:       what else was fixed before the pour, as JSON; the question reads it.
    follows:     id of the table to whose answer this one adds; empty for a table by itself.
    """

    id: str
    question: str
    sheet: str
    occasion: str
    flights: tuple[Flight, ...]
    seats: tuple[Seat, ...]
    recipe: Recipe
    cut_off: float
    setter: str
    planned_at: datetime
    course: tuple[CupTimes, ...] = ()
    first_round_s: int = USUAL_FIRST_ROUND_S
    is_numbered: bool = False
    conditions: SampleConditions = NOTHING_SAID
    screening: Screening | None = None
    asked: Mapping[str, Any] = field(default_factory=dict, hash=False)
    follows: str = ""

    @property
    def places(self) -> tuple[Place, ...]:
        """All places, flight by flight, as they stand."""
        return tuple(place for flight in self.flights for place in flight.places)

    @property
    def blind(self) -> tuple[Place, ...]:
        """The places that are marked: all but an open one."""
        return tuple(place for place in self.places if not place.is_open)

    @property
    def cups(self) -> tuple[tuple[Place, int], ...]:
        """All bowls in the order in which they are poured."""
        return tuple((place, cup) for place in self.places for cup in range(1, place.cups + 1))

    @property
    def people(self) -> int:
        """How many pour, break and skim."""
        of_each = ((each.pour_by, each.break_by, each.skim_by) for each in self.course)
        return max(map(max, of_each), default=1)

    def tasted_by(self, seat: Seat) -> tuple[Place, ...]:
        """Return the places that a seat tastes, as they stand: all.

        Or those of its tasting order.
        """
        if seat.tasting_order is None:
            return self.blind
        mine = set(seat.tasting_order.there)
        return tuple(place for nth, place in enumerate(self.places) if nth in mine)

    def place(self, place_id: str | None) -> Place | None:
        """Return the place with this id, or None."""
        return next((place for place in self.places if place.id == place_id), None)

    def seat(self, seat_id: str) -> Seat | None:
        """Return the seat with this id, or None."""
        return next((seat for seat in self.seats if seat.id == seat_id), None)

    def taste_from_s(self, place_id: str) -> int:
        """Return when every bowl of a place may be tasted, s from the first pour."""
        poured = [
            self.times(nth).pour_s
            for nth, (place, _) in enumerate(self.cups)
            if place.id == place_id
        ]
        return max(poured) + self.first_round_s

    def times(self, nth: int) -> CupTimes:
        """Return when the nth bowl (from 0, in pouring order) is due, s from the first pour."""
        if self.course:
            return self.course[nth]
        behind = self.recipe.pace_s * nth
        due = behind + self.recipe.steep_s
        return CupTimes(pour_s=behind, break_s=due, skim_s=due)
