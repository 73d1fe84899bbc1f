"""What was noted of single bowls: only ever added, and taken back by its name.

A bowl is touched only when it differs. Each fact has a name, made of who noted it and its number
there, so that taking it back means the same whenever it arrives. Of several that stand for one
bowl and one kind the highest (grip, no) counts; the host notes as grip 0.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from crustbreak.core.errors import Problem, nearest_word, told
from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.entries import Event, EventKind

FACT_KINDS: tuple[EventKind, ...] = (
    *("bowl poured", "bowl broken", "bowl skimmed", "bowl spilt"),
    *("dose weighed", "water weighed", "heat measured"),
)
UNDONE: EventKind = "bowl undone"
BOWL_ACTS = (*FACT_KINDS, UNDONE)
# What is no slip of the thumb: g, g, degrees C.
FIGURES: Mapping[str, tuple[float, float]] = {
    "dose weighed": (0.1, 100.0),
    "water weighed": (1.0, 2000.0),
    "heat measured": (0.0, 100.0),
}
# What cannot be said of a bowl before there is water on the table.
WET = frozenset(FACT_KINDS) - {"dose weighed", "bowl spilt"}

# A bowl: its place and its number there.
Cup = tuple[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One thing noted of one bowl.

    name:    by which it is taken back: `0.12` is the host's act 12, `2.7` helper 2's number 7.
    at:      when it was noted, which is when it happened.
    figure:  what was weighed, g, or measured, degrees C; None for what has none.
    """

    name: str
    place_id: str
    cup: int
    kind: str
    at: datetime
    figure: float | None = None

    @property
    def order(self) -> tuple[int, int]:
        """Who noted it, and its number there."""
        grip, no = self.name.split(".")
        return int(grip), int(no)


# The facts that stand of one bowl, by their kind.
Noted = Mapping[str, Fact]


def check_fact(
    table: Table, kind: str, *, place_id: str | None, cup: int | None, figure: float | None
) -> tuple[Problem, ...]:
    """Name everything that keeps a fact from being one of a bowl of this table."""
    if kind not in FACT_KINDS:
        return (_fault("fact", "a kind that there is", kind, nearest_word(kind, FACT_KINDS)),)
    place = table.place(place_id)
    if place is None or cup is None or not 1 <= cup <= place.cups:
        found = f"place {told(place_id)}, bowl {told(cup)}"
        return (_fault("fact", "a bowl of this table", found, "Touch a bowl on the picture."),)
    if kind not in FIGURES:
        return ()
    least, most = FIGURES[kind]
    # NaN is above nothing.
    if figure is not None and least <= figure <= most:
        return ()
    rule, found = f"a number from {least:g} to {most:g}", told(figure)
    return (_fault(kind, rule, found, "Read the scale or the thermometer once more."),)


def fact_of(event: Event) -> Fact:
    """Return the fact in an act; sensible for the kinds in `FACT_KINDS` only."""
    return Fact(
        name=f"{event.grip or 0}.{event.no or event.number}",
        place_id=event.place_id or "",
        cup=event.cup or 0,
        kind=event.kind,
        at=event.at,
        figure=event.figure,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Bowls:
    """What was noted of the bowls of a table.

    noted:     of each bowl that was touched, what stands and counts.
    vain:      what stands and cannot be: in an impossible order, kept, changing nothing.
    problems:  a sentence on each of those, and on each undoing of what nobody noted.
    """

    noted: Mapping[Cup, Noted]
    ignored: tuple[Fact, ...] = ()
    problems: tuple[Problem, ...] = ()

    def of(self, cup: Cup) -> Noted:
        """Return what counts of one bowl; empty where it was not touched."""
        return self.noted.get(cup, {})


def bowls_state(table: Table, events: Iterable[Event], *, poured_at: datetime | None) -> Bowls:
    """Return what stands of each bowl that was touched, in whatever order it came.

    Args:  poured_at: the first pour, or None.
    """
    acts = tuple(events)
    facts = {(fact := fact_of(act)).name: fact for act in acts if act.kind in FACT_KINDS}
    undone = {act.detail for act in acts if act.kind == UNDONE}
    touched: dict[Cup, dict[str, Fact]] = {}
    for fact in sorted(facts.values(), key=lambda each: each.order):
        if fact.name not in undone:
            touched.setdefault((fact.place_id, fact.cup), {})[fact.kind] = fact
    noted: dict[Cup, Noted] = {}
    ignored: list[Fact] = []
    for nth, (place, cup) in enumerate(table.cups):
        said = touched.get((place.id, cup), {})
        pour = pour_moment(table, said, nth=nth, poured_at=poured_at)
        wrong = set(_ignored(said, pour=pour, poured_at=poured_at))
        ignored += [said[kind] for kind in said if kind in wrong]
        if wrong != set(said):
            noted[place.id, cup] = {kind: said[kind] for kind in said if kind not in wrong}
    missed = [_missed(name) for name in sorted(undone - set(facts))]
    return Bowls(
        noted=noted,
        ignored=tuple(ignored),
        problems=(*missed, *(_out_of_order(table, fact) for fact in ignored)),
    )


def _missed(name: str) -> Problem:
    return Problem(
        where="undo",
        rule="it takes back what was noted",
        found=told(name),
        remedy="It is kept and changes nothing.",
    )


def _out_of_order(table: Table, fact: Fact) -> Problem:
    place = table.place(fact.place_id)
    return Problem(
        where=f"bowl {fact.cup} of {place.code if place else told(fact.place_id)}",
        rule="poured, broken and skimmed in that order, and nothing once it was spilt",
        found=fact.kind,
        remedy="It is kept and changes nothing: take it back, or note what came before.",
    )


def pour_moment(
    table: Table, noted: Noted, *, nth: int, poured_at: datetime | None
) -> datetime | None:
    """Return when the nth bowl (from 0, in pouring order) is poured: as noted.

    Else by the course.
    """
    if poured_at is None:
        return None
    if "bowl poured" in noted and noted["bowl poured"].at >= poured_at:
        return noted["bowl poured"].at
    return poured_at + timedelta(seconds=table.times(nth).pour_s - table.times(0).pour_s)


def _ignored(said: Noted, *, pour: datetime | None, poured_at: datetime | None) -> Iterator[str]:
    """Name what was noted before it can have been, one after the other."""
    if pour is None or poured_at is None:
        yield from WET & set(said)
        return
    spilt = said.get("bowl spilt")
    before = pour
    for kind in ("bowl poured", "bowl broken", "bowl skimmed", "water weighed", "heat measured"):
        fact = said.get(kind)
        if fact is None:
            continue
        is_step = kind not in FIGURES
        # The course is not so exact that a bowl could not be weighed a moment before its turn.
        if fact.at < (before if is_step else poured_at) or (spilt and fact.at > spilt.at):
            yield kind
        elif is_step:
            before = fact.at


def judged_bowls(table: Table, bowls: Bowls) -> dict[str, tuple[int, ...]]:
    """Return the numbers of each place's bowls that are there to be judged: those not spilt."""
    return {
        place.id: tuple(
            cup for cup in range(1, place.cups + 1) if "bowl spilt" not in bowls.of((place.id, cup))
        )
        for place in table.places
    }


def _fault(where: str, rule: str, found: str, remedy: str) -> Problem:
    return Problem(where=where, rule=rule, found=found, remedy=remedy)
