"""From all that was said to how the table stands.

The state is never stored. It is the fold of events (in their number) and entries (by grip and
no, so that the order of arrival means nothing). What a cup holds at a moment follows from the
first pour and the first break and the house's pace, so the moment is an argument.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from crustbreak.domain.records.marks import Mark, Value
from crustbreak.domain.records.tables import Table
from crustbreak.domain.table.entries import Entry, Event
from crustbreak.domain.table.states import CUP, FLIGHT, SEAT, CupState, FlightState, SeatState
from crustbreak.footing.errors import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatView:
    """One taster's side of the table.

    marks:   current judgements, made before the hand-in and not taken back.
    calls:   place id (None: the whole table) to the taster's own verdict.
    late:    entries made after the hand-in, kept and out of the evidence.
    called:  every subject has a call.
    """

    state: SeatState
    marks: tuple[Mark, ...]
    calls: Mapping[str | None, str]
    late: tuple[Entry, ...]
    called: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TableState:
    """How a table stands.

    set_at, poured_at, broken_at:  the bowls filled, the first pour, the first break, or None.
    problems:              events that did not fit, kept all the same.
    """

    flight: FlightState
    set_at: datetime | None
    poured_at: datetime | None
    broken_at: datetime | None
    seats: Mapping[str, SeatView]
    problems: tuple[Problem, ...]


def call_subjects(table: Table, *, each_place: bool) -> tuple[str | None, ...]:
    """List what every taster calls: each place, or the table as one."""
    return tuple(place.id for place in table.places) if each_place else (None,)


def fold(
    table: Table,
    entries: Iterable[Entry],
    events: Iterable[Event],
    *,
    subjects: tuple[str | None, ...],
) -> TableState:
    """Give the state that these entries and events make, in whatever order they came."""
    said = sorted(set(entries), key=lambda entry: (*entry.order, entry.id))
    seats = {
        seat.id: _fold_seat([entry for entry in said if entry.seat_id == seat.id], subjects)
        for seat in table.seats
    }
    return _fold_events(sorted(set(events), key=lambda event: event.number), seats)


def _fold_seat(said: list[Entry], subjects: tuple[str | None, ...]) -> SeatView:
    handed_in = next((entry.order for entry in said if entry.kind == "hand_in"), None)
    current: dict[tuple[object, ...], Mark] = {}
    calls: dict[str | None, str] = {}
    late: list[Entry] = []
    state = SeatState.OPEN
    for entry in said:
        if entry.kind == "call":
            _keep_call(entry.place_id, entry.value, calls)
        elif entry.kind == "hand_in":
            state = SEAT.get((state, "hand in"), state)
        elif handed_in is not None and entry.order > handed_in:
            late.append(entry)
        elif entry.kind == "mark":
            current[(entry.place_id, entry.cup, entry.line, entry.round)] = entry.as_mark()
            state = SEAT.get((state, "mark"), state)
    return SeatView(
        state=state,
        marks=tuple(mark for mark in current.values() if mark.value is not None),
        calls=calls,
        late=tuple(late),
        called=all(subject in calls for subject in subjects),
    )


def _keep_call(subject: str | None, value: Value, calls: dict[str | None, str]) -> None:
    if value is None:
        calls.pop(subject, None)
    else:
        calls[subject] = str(value)


def _fold_events(events: list[Event], seats: Mapping[str, SeatView]) -> TableState:
    flight = FlightState.PLANNED
    at: dict[str, datetime | None] = {}
    problems: list[Problem] = []
    for event in events:
        if event.kind == "key opened":
            continue
        step = _step(event, broken=at.get("broken") is not None)
        # What came before a hand-in is not measured by it: an event is tried where the events
        # left the table, and only then where the seats have brought it since.
        tried = (flight, _settle(flight, seats))
        flight = next((state for state in tried if _may_come(step, state, at)), flight)
        if not _may_come(step, flight, at):
            problems.append(_out_of_order(event, _settle(flight, seats)))
            continue
        flight = FLIGHT.get((flight, step), flight)
        at.update(_moments(step, event.at))
    return TableState(
        flight=_settle(flight, seats),
        set_at=at.get("table set"),
        poured_at=at.get("poured"),
        broken_at=at.get("broken"),
        seats=seats,
        problems=tuple(problems),
    )


def _step(event: Event, *, broken: bool) -> str:
    """Give what an event does; an undoing takes back the last of the two taps."""
    if event.kind != "undone":
        return event.kind
    return "break undone" if broken else "pour undone"


def _may_come(step: str, flight: FlightState, at: Mapping[str, datetime | None]) -> bool:
    if step in ("broken", "break undone"):
        is_broken = at.get("broken") is not None
        return flight == FlightState.UNDER_WAY and is_broken == (step == "break undone")
    return (flight, step) in FLIGHT


def _moments(step: str, moment: datetime) -> dict[str, datetime | None]:
    undoes = {"pour undone": "poured", "break undone": "broken"}
    return {undoes[step]: None} if step in undoes else {step: moment}


def _settle(flight: FlightState, seats: Mapping[str, SeatView]) -> FlightState:
    if all(seat.state == SeatState.HANDED_IN for seat in seats.values()):
        flight = FLIGHT.get((flight, "all handed in"), flight)
        if all(seat.called for seat in seats.values()):
            flight = FLIGHT.get((flight, "all called"), flight)
    return flight


def _out_of_order(event: Event, flight: FlightState) -> Problem:
    return Problem(
        where=f"event {event.number}",
        rule=f"'{event.kind}' can follow where the table stands",
        found=f"the table {flight}",
        remedy="It is kept and changes nothing.",
    )


def cup_state(table: Table, state: TableState, *, nth: int, now: datetime) -> CupState:
    """Give what the nth bowl (from 0, in pouring order) holds at a moment.

    The first pour and the first break are tapped; the others are taken to follow at the
    recipe's pace, which is what the picture says: it was not seen cup by cup.
    """
    cup = CupState.EMPTY
    behind = timedelta(seconds=table.recipe.pace_s * nth)
    for holds, event in (
        (state.set_at is not None, "dosed"),
        (state.poured_at is not None and now >= state.poured_at + behind, "poured"),
        (state.broken_at is not None and now >= state.broken_at + behind, "broken"),
    ):
        if holds:
            cup = CUP.get((cup, event), cup)
    return cup
