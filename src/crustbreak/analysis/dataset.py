"""One table's marks, put beside the coffees they are of."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from hashlib import sha256
from typing import Any

from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.keys import Key
from crustbreak.domain.records.lab_settings import SHIPPED, LabSettings
from crustbreak.domain.records.marks import Mark
from crustbreak.domain.records.tables import Place, Seat, Table
from crustbreak.domain.sheets.definition import Sheet
from crustbreak.domain.sheets.priors import Priors
from crustbreak.domain.sheets.scoring import Score, score_place
from crustbreak.domain.tables.bowl_facts import judged_bowls
from crustbreak.domain.tables.deviations import BowlDeviation, deviations_of
from crustbreak.domain.tables.seats import NewCall
from crustbreak.domain.tables.state import TableState


@dataclass(frozen=True, slots=True, kw_only=True)
class Rating:
    """One taster at one place: the unit of evidence, however many bowls the place has.

    call:  the taster's own verdict of the place, or of the whole table, before names; None if
           there was none.
    new_calls:  what the taster would decide since the names are known, with the reason.
    """

    taster: str
    coffee: Coffee
    code: str
    cups: int
    score: Score
    call: str | None
    new_calls: tuple[NewCall, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Dataset:
    """All looks of a table, coffees in the order in which the host typed them.

    coffees, looks:  of what is decided about.
    controls, control_looks:  of the known coffee that measures the table.
    priors:   what is assumed of the sheet's points; None where nobody has said.
    history:  earlier tables on the same sheet, the last one first, without a history of theirs.
    at:       when it was uncovered; None where that does not matter.
    lab_settings: what the lab said of itself when the table was planned.
    lots:     coffee id to lot: coffees of several tables with the same are one; a coffee without
              is a lot of its own.
    id:       of the table; empty where that does not matter.
    follows:  of the table to whose answer this one adds, or empty.
    asked:    what else was fixed before the pour, as the question keeps it.
    seed:     of whatever is drawn about this table; the same table, the same draws.
    flags:    bowls that differed from the recipe, by their codes.
    bowls_judged:  code to the bowls there that were not spilt; empty where none was.
    """

    sheet: Sheet
    cut_off: float
    coffees: tuple[Coffee, ...]
    ratings: tuple[Rating, ...]
    priors: Priors | None = None
    history: tuple["Dataset", ...] = ()
    at: datetime | None = None
    lab_settings: LabSettings = SHIPPED
    lots: Mapping[str, str] = field(default_factory=dict)
    controls: tuple[Coffee, ...] = ()
    control_ratings: tuple[Rating, ...] = ()
    seed: int = 0
    flags: tuple[BowlDeviation, ...] = ()
    bowls_judged: Mapping[str, int] = field(default_factory=dict)
    id: str = ""
    follows: str = ""
    asked: Mapping[str, Any] = field(default_factory=dict)

    def ratings_of(self, coffee: Coffee) -> tuple[Rating, ...]:
        """Return every taster's rating at one coffee."""
        return tuple(rating for rating in self.ratings if rating.coffee == coffee)

    def lots_before(self, coffee: Coffee) -> "tuple[tuple[Dataset, Coffee], ...]":
        """Return the earlier tables at which a coffee's lot stood, and as which coffee."""
        lot = self.lots.get(coffee.id)
        return tuple(
            (each, there)
            for each in self.history
            for there in (*each.coffees, *each.controls)
            if lot is not None
            and each.lots.get(there.id) == lot
            and there.is_control == coffee.is_control
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Scorer:
    """Scores a seat's marks of a place, of the bowls that were there to be judged."""

    table: Table
    sheet: Sheet
    judged: Mapping[str, tuple[int, ...]]

    def score(self, seat: Seat, place: Place, marks: tuple[Mark, ...]) -> Score:
        score = score_place(marks, self.sheet, place, bowls=self.judged[place.id])
        said_something = any(mark.place_id == place.id for mark in marks)
        if said_something or place in self.table.tasted_by(seat):
            return score
        return replace(score, missing=())


def table_dataset(
    table: Table, state: TableState, sheet: Sheet, *, key: Key, coffees: tuple[Coffee, ...]
) -> Dataset:
    """Join marks, key and names, without seats left out; for a table whose codes may have names.

    A place of which the key says nothing has no look: nobody knows what was tasted there. Who did
    not taste a place has a look of nothing, in which nothing is missing.
    """
    named: Mapping[str, Coffee] = {coffee.id: coffee for coffee in coffees}
    judged = judged_bowls(table, state.bowls)
    scorer = _Scorer(table=table, sheet=sheet, judged=judged)
    ratings = tuple(
        Rating(
            taster=seat.taster,
            coffee=named[key.coffee_of[place.id]],
            code=place.code,
            cups=len(score.bowls),
            score=score,
            call=state.seats[seat.id].calls.get(place.id, state.seats[seat.id].calls.get(None)),
            new_calls=tuple(
                each for each in state.seats[seat.id].new_calls if each.subject in (place.id, None)
            ),
        )
        for place in table.blind
        if place.id in key.coffee_of
        for seat in table.seats
        if state.seats[seat.id].left_out is None
        for score in (scorer.score(seat, place, state.seats[seat.id].marks),)
    )
    flags = deviations_of(table, state)
    # Six bytes: a whole number that any JSON reader gives back.
    seed = int.from_bytes(sha256(table.id.encode()).digest()[:6], "big")
    return Dataset(
        sheet=sheet,
        cut_off=state.cut_off,
        coffees=tuple(coffee for coffee in coffees if not coffee.is_control),
        ratings=tuple(rating for rating in ratings if not rating.coffee.is_control),
        controls=tuple(coffee for coffee in coffees if coffee.is_control),
        control_ratings=tuple(rating for rating in ratings if rating.coffee.is_control),
        seed=seed,
        id=table.id,
        follows=table.follows,
        asked=table.asked,
        flags=flags,
        bowls_judged={place.code: len(judged[place.id]) for place in table.blind}
        if any(flag.kind == "spilt" for flag in flags)
        else {},
    )
