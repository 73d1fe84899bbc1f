"""From the numbers under the bowls, read at the sink, to what stood at each place.

Before they are read nothing that is kept determines it: any order of the trays within their
classes can still come out.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from crustbreak.core.errors import Problem
from crustbreak.domain.records.numbered_bowls import BowlReading, NumberedBowls
from crustbreak.domain.records.tables import Place

Doubt = Literal["by elimination", "not checked", "not read", "mixed", "another class"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BowlIdentities:
    """What the numbers tell.

    coffee_of:  place id to coffee id, of the places that have one.
    doubts:     place id to what is to be known of how it got its coffee, or why it has none.
    """

    coffee_of: Mapping[str, str]
    doubts: Mapping[str, tuple[Doubt, ...]]

    @property
    def unnamed(self) -> tuple[str, ...]:
        """Ids of the places that stay without a name."""
        return tuple(place for place in self.doubts if place not in self.coffee_of)


def check_readings(
    places: Sequence[Place],
    numbered_bowls: Sequence[NumberedBowls],
    readings: Sequence[BowlReading],
) -> tuple[Problem, ...]:
    """Name every number that cannot be: of no bowl here, read twice, of another row; or none read.

    Args:  places, trays: of one table. readings: of each place at most one.
    """
    code_of = {place.id: place.code for place in places}
    owner = _owners(numbered_bowls)
    stands_at: dict[int, str] = {}
    said = (reading.number or reading.check or reading.is_mixed for reading in readings)
    problems = [] if any(said) else [_nothing_read()]
    for reading in readings:
        where = f"Place {code_of[reading.place_id]}"
        read = [number for number in (reading.number, reading.check) if number is not None]
        problems += [_not_here(where, number, owner) for number in read if number not in owner]
        if reading.number is not None and reading.number == reading.check:
            problems.append(_same_bowl(where, reading.number))
        if reading.is_mixed or any(number not in owner for number in read):
            continue
        found = {owner[number] for number in read}
        if len(found) > 1:
            problems.append(_two_rows(where, read))
            continue
        for bowl_group in found:
            if bowl_group in stands_at:
                problems.append(_stands_twice(where, read, stands_at[bowl_group]))
            stands_at.setdefault(bowl_group, where)
    return tuple(problems)


def identify_bowls(
    places: Sequence[Place],
    numbered_bowls: Sequence[NumberedBowls],
    readings: Sequence[BowlReading],
) -> BowlIdentities:
    """Return each place its coffee, as far as the numbers tell; they have passed the checks.

    A single place that was not read follows from those that were, as do several if one coffee is
    left for them. Where bowls of several trays stood in one row nothing follows for any other.

    Args:  places: as they stand. readings: of each place at most one; without, it was not read.
    """
    read = {reading.place_id: reading for reading in readings}
    owner = _owners(numbered_bowls)
    class_at = _class_at(places, numbered_bowls)
    coffee_of: dict[str, str] = {}
    doubts: dict[str, tuple[Doubt, ...]] = {}
    left = set(range(len(numbered_bowls)))
    for place in places:
        reading = read.get(place.id, BowlReading(place_id=place.id))
        number = reading.number if reading.number is not None else reading.check
        if reading.is_mixed:
            doubts[place.id] = ("mixed",)
        elif number is None:
            doubts[place.id] = ("not read",)
        else:
            bowl_group = numbered_bowls[owner[number]]
            left.discard(owner[number])
            coffee_of[place.id] = bowl_group.coffee_id
            doubts[place.id] = _doubts(reading, place, bowl_group, class_at[place.id])
    unread = [place for place, said in doubts.items() if said == ("not read",)]
    rest = {numbered_bowls[bowl_group].coffee_id for bowl_group in left}
    if len(rest) == 1 and len(left) == len(unread):
        coffee_of |= dict.fromkeys(unread, rest.pop())
        doubts |= dict.fromkeys(unread, ("by elimination",))
    return BowlIdentities(
        coffee_of=coffee_of, doubts={place: said for place, said in doubts.items() if said}
    )


def _owners(numbered_bowls: Sequence[NumberedBowls]) -> dict[int, int]:
    return {
        number: nth for nth, bowl_group in enumerate(numbered_bowls) for number in bowl_group.bowls
    }


def _class_at(places: Sequence[Place], numbered_bowls: Sequence[NumberedBowls]) -> dict[str, int]:
    """Return the class that each place is for: as many as there are trays of it, in their order."""
    sizes = Counter(bowl_group.order_class for bowl_group in numbered_bowls)
    classes = [number for number in sorted(sizes) for _ in range(sizes[number])]
    return {place.id: number for place, number in zip(places, classes, strict=True)}


def _doubts(
    reading: BowlReading, place: Place, bowl_group: NumberedBowls, planned: int
) -> tuple[Doubt, ...]:
    doubts: list[Doubt] = []
    if place.cups > 1 and None in (reading.number, reading.check):
        doubts.append("not checked")
    if bowl_group.order_class != planned:
        doubts.append("another class")
    return tuple(doubts)


def _nothing_read() -> Problem:
    return Problem(
        where="Numbers",
        rule="at least one was read",
        found="none",
        remedy="Type what stands under the bowls. Is nothing left to be read? Give the table up: "
        "without a number no mark has a coffee.",
    )


def _not_here(where: str, number: int, owner: Mapping[int, int]) -> Problem:
    return Problem(
        where=where,
        rule=f"a number of this table's bowls, {min(owner)} to {max(owner)}",
        found=str(number),
        remedy="Read it again, the right way up: 6 and 9, 16 and 91 change places upside down.",
    )


def _same_bowl(where: str, number: int) -> Problem:
    return Problem(
        where=where,
        rule="the check is another bowl of the row",
        found=f"{number} twice",
        remedy="Turn over one more bowl of this row.",
    )


def _two_rows(where: str, read: Sequence[int]) -> Problem:
    return Problem(
        where=where,
        rule="all bowls of a row are of one coffee",
        found=f"{read[0]} and {read[1]}, which were filled with two",
        remedy="Read both again. If they are right, turn over the whole row and say that it is "
        "mixed: its marks then stay without a name.",
    )


def _stands_twice(where: str, read: Sequence[int], other: str) -> Problem:
    return Problem(
        where=where,
        rule="each number stands at one place",
        found=f"{read[0]}, of the bowls that were read at {other[0].lower()}{other[1:]}",
        remedy="Read both places again; leave empty what cannot be read.",
    )
