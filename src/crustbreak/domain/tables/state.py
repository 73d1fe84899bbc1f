"""From all that was said to how the table stands.

The state is never stored. It is the fold of events (in their number) and entries (by grip and
no, so that the order of arrival means nothing). What a cup holds at a moment is in `clocks`.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime

from crustbreak.core.errors import Problem
from crustbreak.domain.records.tables import Seat, Table
from crustbreak.domain.tables.bowl_facts import BOWL_ACTS, Bowls, bowls_state
from crustbreak.domain.tables.entries import Entry, Event
from crustbreak.domain.tables.seats import SeatFacts, SeatView, seat_state
from crustbreak.domain.tables.transitions import FLIGHT, FlightState

# Acts that change what may be known or who counts, and not where the table stands.
SEAT_ACTS = ("left out", "brought back", "device refused", "device let back")
ASIDE_ACTS = ("key opened", "code replaced")
# Once the codes have names, who counted stays as it was.
SETTLED_STATES = frozenset({FlightState.UNCOVERED, FlightState.DECIDED, FlightState.ABANDONED})


UNTOUCHED = Bowls(noted={})


@dataclass(frozen=True, slots=True, kw_only=True)
class CutOffMove:
    """One moving of the figure that decides.

    before, after:  what it was, and what it became.
    is_late:        water had been poured: what decides was no longer fixed beforehand.
    knew_names:     the codes had their names.
    """

    at: datetime
    before: float
    after: float
    reason: str
    is_late: bool
    knew_names: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TableState:
    """How a table stands.

    set_at, poured_at, broken_at:  the bowls filled, the first pour, the first break, or None.
    skimmed_at:            when it was said that all bowls are skimmed, or None.
    bowls:                 what was noted of single bowls.
    double_shown:          when it was shown which codes were one coffee, or None.
    cut_off:               the figure that decides, as it stands now.
    moves:                 every time that it was moved, in their order.
    problems:              events that did not fit, kept all the same.
    """

    flight: FlightState
    set_at: datetime | None
    poured_at: datetime | None
    broken_at: datetime | None
    seats: Mapping[str, SeatView]
    skimmed_at: datetime | None = None
    bowls: Bowls = UNTOUCHED
    duplicate_shown: datetime | None = None
    cut_off: float
    moves: tuple[CutOffMove, ...] = ()
    problems: tuple[Problem, ...]


def call_subjects(table: Table, *, each_place: bool) -> tuple[str | None, ...]:
    """List what every taster calls: each place, or the table as one."""
    return tuple(place.id for place in table.blind) if each_place else (None,)


def table_state(
    table: Table,
    entries: Iterable[Entry],
    events: Iterable[Event],
    *,
    subjects: tuple[str | None, ...],
    facts: Mapping[str, SeatFacts] | None = None,
) -> TableState:
    """Return the state that these entries and events make, in whatever order they came.

    Args:  facts: what is known of each seat's devices; without it, what the entries tell.
    """
    said: dict[str, list[Entry]] = {seat.id: [] for seat in table.seats}
    for entry in set(entries):
        if entry.seat_id in said:
            said[entry.seat_id].append(entry)
    known = facts or {seat_id: _facts_of(of_seat) for seat_id, of_seat in said.items()}
    tasting_order = _StateFold(said, dict(known), _subjects_by_seat(table, subjects), table.cut_off)
    for event in sorted(set(events), key=lambda event: event.number):
        tasting_order.take(event)
    return tasting_order.end(table)


def _subjects_by_seat(
    table: Table, subjects: tuple[str | None, ...]
) -> dict[str, tuple[str | None, ...]]:
    """Return what each seat calls: nobody calls what stood before others alone."""
    return {seat.id: subjects_of_seat(table, seat, subjects) for seat in table.seats}


def subjects_of_seat(
    table: Table, seat: Seat, subjects: tuple[str | None, ...]
) -> tuple[str | None, ...]:
    """Return those of a table's subjects that one seat calls."""
    mine = {place.id for place in table.tasted_by(seat)}
    return tuple(subject for subject in subjects if subject is None or subject in mine)


def _facts_of(entries: Iterable[Entry]) -> SeatFacts:
    """Return what a seat's entries alone tell of its devices."""
    arrived = frozenset(entry.order for entry in entries)
    return SeatFacts(grip=max((grip for grip, _ in arrived), default=0), arrived=arrived)


@dataclass(slots=True)
class _StateFold:
    """The events taken one after the other, and where they have brought the table."""

    said: Mapping[str, list[Entry]]
    facts: dict[str, SeatFacts]
    subjects: Mapping[str, tuple[str | None, ...]]
    cut_off: float
    moves: list[CutOffMove] = field(default_factory=list)
    bowl_acts: list[Event] = field(default_factory=list)
    flight: FlightState = FlightState.PLANNED
    at: dict[str, datetime | None] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    seats: dict[str, SeatView] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for seat_id in self.said:
            self._seat_state(seat_id)

    def take(self, event: Event) -> None:
        if event.kind in ASIDE_ACTS:
            return
        if event.kind in SEAT_ACTS:
            self._take_seat_act(event)
            return
        if event.kind in BOWL_ACTS:
            self._take_bowl_act(event)
            return
        step = _step(event, self.at)
        # What came before a hand-in is not measured by it: an event is tried where the events
        # left the table, and only then where the seats have brought it since.
        tried = (self.flight, self._settled())
        self.flight = next((state for state in tried if _may_come(step, state, self.at)), tried[0])
        if not _may_come(step, self.flight, self.at):
            self.problems.append(_out_of_order(event, self._settled()))
            return
        if event.kind == "cut-off moved":
            self._move(event)
            return
        self.flight = FLIGHT.get((self.flight, step), self.flight)
        self.at.update(_moments(step, event.at))

    def end(self, table: Table) -> TableState:
        bowls = bowls_state(table, self.bowl_acts, poured_at=self.at.get("poured"))
        return TableState(
            flight=self._settled(),
            set_at=self.at.get("table set"),
            poured_at=self.at.get("poured"),
            broken_at=self.at.get("broken"),
            skimmed_at=self.at.get("skimmed"),
            bowls=bowls,
            seats=self.seats,
            duplicate_shown=self.at.get("double shown"),
            cut_off=self.cut_off,
            moves=tuple(self.moves),
            problems=(*self.problems, *bowls.problems),
        )

    def _move(self, event: Event) -> None:
        after = self.cut_off if event.figure is None else event.figure
        self.moves.append(
            CutOffMove(
                at=event.at,
                before=self.cut_off,
                after=after,
                reason=event.detail,
                is_late=self.at.get("poured") is not None,
                knew_names=self.flight == FlightState.UNCOVERED,
            )
        )
        self.cut_off = after

    def _take_seat_act(self, event: Event) -> None:
        facts = self.facts.get(event.seat_id or "")
        if facts is None or self.flight in SETTLED_STATES:
            self.problems.append(_out_of_order(event, self._settled()))
            return
        self.facts[event.seat_id or ""] = _changed(facts, event)
        self._seat_state(event.seat_id or "")

    def _take_bowl_act(self, event: Event) -> None:
        # Whether it fits is seen once all is there: a tap may have waited for the network.
        if self.flight in SETTLED_STATES:
            self.problems.append(_out_of_order(event, self._settled()))
        else:
            self.bowl_acts.append(event)

    def _seat_state(self, seat_id: str) -> None:
        facts = self.facts.setdefault(seat_id, SeatFacts())
        self.seats[seat_id] = seat_state(self.said[seat_id], facts, self.subjects[seat_id])

    def _settled(self) -> FlightState:
        flight = self.flight
        # A table at which nobody is left has nothing to say, however it stands.
        counted = [seat for seat in self.seats.values() if seat.left_out is None]
        if counted and all(seat.is_complete for seat in counted):
            flight = FLIGHT.get((flight, "all handed in"), flight)
            if all(seat.called for seat in counted):
                flight = FLIGHT.get((flight, "all called"), flight)
        return flight


def _changed(facts: SeatFacts, event: Event) -> SeatFacts:
    grip = {event.grip or 0}
    match event.kind:
        case "left out":
            return replace(facts, left_out=event.detail)
        case "brought back":
            return replace(facts, left_out=None)
        case "device refused":
            return replace(facts, refused=facts.refused | grip)
        case _:
            return replace(facts, refused=facts.refused - grip)


# The taps of a table in their order; an undoing takes back the last that was made.
TAPS = ("poured", "broken", "skimmed")


def _step(event: Event, at: Mapping[str, datetime | None]) -> str:
    """Return what an event does."""
    if event.kind != "undone":
        return event.kind
    made = [tap for tap in TAPS if at.get(tap) is not None]
    return f"{made[-1]} undone" if made else "poured undone"


def _may_come(step: str, flight: FlightState, at: Mapping[str, datetime | None]) -> bool:
    tap = step.removesuffix(" undone")
    if tap not in TAPS[1:]:
        return (flight, step) in FLIGHT
    is_made = at.get(tap) is not None
    is_after = at.get(TAPS[TAPS.index(tap) - 1]) is not None
    return flight == FlightState.UNDER_WAY and is_after and is_made == (step != tap)


def _moments(step: str, moment: datetime) -> dict[str, datetime | None]:
    undone = step.removesuffix(" undone")
    return {undone: None} if undone != step else {step: moment}


def _out_of_order(event: Event, flight: FlightState) -> Problem:
    return Problem(
        where=f"event {event.number}",
        rule=f"'{event.kind}' can follow where the table stands",
        found=f"the table {flight}",
        remedy="It is kept and changes nothing.",
    )
