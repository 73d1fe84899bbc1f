"""What a taster sees once the codes have their names."""

from dataclasses import dataclass

from crustbreak.ports.lab import Lab
from crustbreak.services.deciding import evidence_of, verdict_of
from crustbreak.services.joining import Seated
from crustbreak.services.viewing import frame_of


@dataclass(frozen=True, slots=True, kw_only=True)
class UncoveredPlace:
    """One code with its name, one's own score of it, and the others'.

    own_total:    points, None while a line is missing.
    own_missing:  titles of the lines without all their marks.
    others:       taster and total, in the order of the seats.
    """

    code: str
    coffee: str
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
    """Give names, own and others' totals; NotYours while codes are sealed."""
    frame = frame_of(lab, seated.table)
    titles = {line.id: line.title for line in frame.sheet.lines}
    own = [look for look in frame.looks if look.taster == seated.seat.taster]
    places = tuple(
        UncoveredPlace(
            code=look.code,
            coffee=look.coffee.name,
            own_total=look.score.total,
            own_missing=tuple(titles[line] for line in look.score.missing),
            own_call=look.call,
            others=tuple(
                (other.taster, other.score.total)
                for other in frame.looks
                if other.code == look.code and other.taster != look.taster
            ),
        )
        for look in own
    )
    return Uncovered(
        occasion=seated.table.occasion,
        how_sure=evidence_of(lab, seated.table).get("how_sure"),
        places=places,
        verdicts=verdict_of(lab, seated.table),
    )
