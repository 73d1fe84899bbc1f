"""What a taster sees once the codes have their names."""

from dataclasses import dataclass

from crustbreak.analysis.dataset import Dataset
from crustbreak.ports.lab import Lab
from crustbreak.services.devices.join import Seated
from crustbreak.services.results.dataset import dataset_of
from crustbreak.services.results.decide import evidence_of, verdict_of


@dataclass(frozen=True, slots=True, kw_only=True)
class UncoveredPlace:
    """One code with its name, one's own score of it, and the others'.

    coffee:       None where the numbers under the bowls did not tell.
    own_total:    points, None while a line is missing.
    own_missing:  titles of the lines without all their marks.
    others:       taster and total, in the order of the seats.
    """

    code: str
    coffee: str | None
    own_total: float | None
    own_missing: tuple[str, ...]
    own_call: str | None
    others: tuple[tuple[str, float | None], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Uncovered:
    """A table after the uncovering; `verdicts` is empty until somebody decided.

    how_sure:  what the question's evidence says of that; None where it says nothing.
    """

    occasion: str
    how_sure: str | None
    places: tuple[UncoveredPlace, ...]
    verdicts: dict[str, str]


def view_uncovered(lab: Lab, seated: Seated) -> Uncovered:
    """Return names, own and others' totals; NotYours while codes are sealed."""
    dataset = dataset_of(lab, seated.table)
    return Uncovered(
        occasion=seated.table.occasion,
        how_sure=evidence_of(lab, seated.table).get("how_sure"),
        places=tuple(
            _place(dataset, place.code, taster=seated.seat.taster) for place in seated.table.blind
        ),
        verdicts=verdict_of(lab, seated.table),
    )


def _place(dataset: Dataset, code: str, *, taster: str) -> UncoveredPlace:
    ratings = [
        rating for rating in (*dataset.ratings, *dataset.control_ratings) if rating.code == code
    ]
    # A seat that was left out has no rating, and still learns what it drank.
    own = next((rating for rating in ratings if rating.taster == taster), None)
    titles = {line.id: line.title for line in dataset.sheet.lines}
    return UncoveredPlace(
        code=code,
        coffee=ratings[0].coffee.name if ratings else None,
        own_total=own.score.total if own else None,
        own_missing=tuple(titles[line] for line in own.score.missing) if own else (),
        own_call=own.call if own else None,
        others=tuple(
            (rating.taster, rating.score.total) for rating in ratings if rating is not own
        ),
    )
