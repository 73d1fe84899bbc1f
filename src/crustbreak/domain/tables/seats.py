"""One taster's side of a table, folded from all that the seat's devices said.

A seat can have had several devices. Each has its grip, and the highest that the host has not
refused holds the seat: what an older one still sends fills cells that are empty and never
overrides, because entries are read in the order of (grip, no).
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from crustbreak.domain.records.marks import Mark, Value
from crustbreak.domain.tables.entries import Entry
from crustbreak.domain.tables.transitions import SEAT, SeatState

# (grip, no) of an entry that reached the lab, whether it counts or not.
Number = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class NewCall:
    """What a taster would decide once the names are known, where that is another word, and why.

    subject:  place id, or None for the whole table.
    """

    subject: str | None
    word: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatView:
    """One taster's side of the table.

    marks:     current judgements, made before the hand-in and not taken back.
    calls:     place id (None: the whole table) to the taster's own verdict.
    new_calls: words that a taster put beside its calls once the names were known, in their order.
    late:      entries made after the hand-in, kept and out of the evidence.
    called:    every subject has a call.
    grip:      number of the device that holds the seat, 0 while there is none.
    missing:   how many entries of that device are known to exist and have not reached the lab:
               below its hand-in, or below its latest entry while it has not handed in.
    left_out:  why the host left the seat out, None where it is in.
    refused:   entries of devices of which the host said "not us"; kept, and not counted.
    knew:      ids of places of which the taster thought to know the coffee.
    """

    state: SeatState
    marks: tuple[Mark, ...] = ()
    calls: Mapping[str | None, str]
    new_calls: tuple[NewCall, ...] = ()
    late: tuple[Entry, ...] = ()
    called: bool = False
    grip: int = 0
    missing: int = 0
    left_out: str | None = None
    refused: int = 0
    knew: frozenset[str] = frozenset()

    @property
    def is_complete(self) -> bool:
        """Return whether it is handed in and nothing before the hand-in is still on its way."""
        return self.state == SeatState.HANDED_IN and self.missing == 0


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatFacts:
    """What is known of a seat besides its entries.

    grip:      number of the device that joined last, 0 when none did.
    arrived:   numbers of everything that reached the lab, set aside or late included.
    refused:   grips of which the host said "not us".
    left_out:  why the host left the seat out, or None.
    """

    grip: int = 0
    arrived: frozenset[Number] = frozenset()
    refused: frozenset[int] = frozenset()
    left_out: str | None = None

    @property
    def holder(self) -> int:
        """Return the grip that holds the seat: the highest that was not refused."""
        held = (grip for grip in range(self.grip, 0, -1) if grip not in self.refused)
        return next(held, 0)


def seat_state(
    entries: Iterable[Entry], facts: SeatFacts, subjects: Collection[str | None]
) -> SeatView:
    """Return a seat's side from its entries, in whatever order they came."""
    every = sorted(set(entries), key=lambda entry: (*entry.order, entry.id))
    said = [entry for entry in every if entry.grip not in facts.refused]
    handed_in = next((entry.order for entry in said if entry.kind == "hand_in"), None)
    current: dict[tuple[object, ...], Mark] = {}
    calls: dict[str | None, str] = {}
    new_calls: list[NewCall] = []
    late: list[Entry] = []
    knew: dict[str, Value] = {}
    state = SeatState.OPEN
    for entry in said:
        if entry.kind == "call":
            _keep_call(entry.place_id, entry.value, calls)
        elif entry.kind == "new_call":
            new_calls.append(_new_call(entry))
        elif entry.kind == "hand_in":
            state = SEAT.get((state, "hand in"), state)
        elif entry.kind == "knew":
            # At any time before the names: it takes nothing back, and adds a doubt.
            knew[entry.place_id or ""] = entry.value
        elif handed_in is not None and entry.order > handed_in:
            late.append(entry)
        elif entry.kind == "mark":
            current[(entry.place_id, entry.cup, entry.line, entry.round)] = entry.as_mark()
            state = SEAT.get((state, "mark"), state)
    return SeatView(
        state=state,
        marks=tuple(mark for mark in current.values() if mark.value is not None),
        calls=calls,
        new_calls=tuple(new_calls),
        late=tuple(late),
        called=all(subject in calls for subject in subjects),
        grip=facts.holder,
        missing=_missing(facts, handed_in),
        left_out=facts.left_out,
        refused=len(every) - len(said),
        knew=frozenset(place for place, value in knew.items() if value is not None),
    )


def _new_call(entry: Entry) -> NewCall:
    return NewCall(
        subject=entry.place_id, word=str(entry.value), reason=(entry.reason or "").strip()
    )


def _keep_call(subject: str | None, value: Value, calls: dict[str | None, str]) -> None:
    if value is None:
        calls.pop(subject, None)
    else:
        calls[subject] = str(value)


def _missing(facts: SeatFacts, handed_in: Number | None) -> int:
    """Count the numbers that the holding device gave and that never arrived.

    Those of an older device are not waited for: it is gone, and the taster went on without.
    """
    numbers = {no for grip, no in facts.arrived if grip == facts.holder}
    if handed_in is not None:
        last = handed_in[1] if handed_in[0] == facts.holder else 0
    else:
        last = max(numbers, default=0)
    return last - sum(no <= last for no in numbers)
