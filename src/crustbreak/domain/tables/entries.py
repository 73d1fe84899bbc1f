"""All that a device says, and all that the host does, never changed once said.

An entry names its seat, its grip (the seat's device number) and its no (1, 2, 3 ... within the
grip); that pair, and not the time of arrival, orders what one taster said. An event is the
host's act and is ordered by the store.
"""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from crustbreak.core.errors import Problem, nearest_word, told
from crustbreak.domain.planning.plan_request import check_text
from crustbreak.domain.records.marks import Mark, Value
from crustbreak.domain.records.numbered_bowls import BowlReading
from crustbreak.domain.records.tables import Place, Table
from crustbreak.domain.sheets.definition import Sheet
from crustbreak.domain.sheets.marking import check_mark

EntryKind = Literal["mark", "knew", "hand_in", "call", "new_call"]

ENTRY_KINDS: tuple[EntryKind, ...] = ("mark", "knew", "hand_in", "call", "new_call")

# What a taster says of a place that gave itself away.
KNEW = "yes"

REASON_LENGTH = 2000


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One thing a device said.

    id:           128 bits made on the device, 32 hex digits.
    grip, no:     device number of the seat; running number within it, from 1.
    sheet:        sheet and version that the device showed.
    place_id, cup, line, round, value:  as in `Mark`; a call has place and value only (no place
                  where the whole table is called), a hand-in none. `knew` has a place, and the
                  value "yes" where the taster thinks to know the coffee. A new call takes the place
                  of one once the names are known, and says why.
    reason:       of a new call; None otherwise.
    device_time:  what the device's clock said, UTC; it orders nothing.
    """

    id: str
    table_id: str
    seat_id: str
    grip: int
    no: int
    kind: str
    sheet: str
    place_id: str | None
    cup: int | None
    line: str | None
    round: str | None
    value: Value
    device_time: datetime
    reason: str | None = None

    @property
    def order(self) -> tuple[int, int]:
        """Where this stands in all that its seat said."""
        return (self.grip, self.no)

    def as_mark(self) -> Mark:
        """Return the judgement in this entry; sensible for the kind `mark` only."""
        return Mark(
            seat_id=self.seat_id,
            place_id=self.place_id or "",
            cup=self.cup,
            line=self.line or "",
            round=self.round or "",
            value=self.value,
        )


EventKind = Literal[
    "key opened",
    "table set",
    "poured",
    "broken",
    "undone",
    "uncovered",
    "decided",
    "abandoned",
    "left out",
    "brought back",
    "device refused",
    "device let back",
    "admitted",
    "code replaced",
    "cut-off moved",
    "double shown",
    "bowls read",
    "skimmed",
    "bowl poured",
    "bowl broken",
    "bowl skimmed",
    "bowl spilt",
    "dose weighed",
    "water weighed",
    "heat measured",
    "bowl undone",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One act of the host, or of a helper at the table.

    number:   running number within the table, from 1, given by the store.
    detail:   a name or a reason where the kind has one, else empty; of what takes a bowl's fact
              back, the name of that fact.
    seat_id:  the seat that it is about, where it is about one.
    grip:     the device of that seat, where it is about one; of a bowl's fact the helper who
              noted it, None for the host.
    arrival:  by the store's count, the last entry that came before the act, or that an admission
              takes in.
    readings: what was read under the bowls, place by place, where they were.
    figure:   what the figure that decides was moved to, where it was; of a bowl's fact what was
              weighed, g, or measured, degrees C.
    place_id, cup:  the bowl that it is about, where it is about one.
    no:       of a helper's fact, its running number within the grip.
    """

    table_id: str
    number: int
    kind: EventKind
    at: datetime
    detail: str = ""
    seat_id: str | None = None
    grip: int | None = None
    arrival: int | None = None
    figure: float | None = None
    readings: tuple[BowlReading, ...] | None = None
    place_id: str | None = None
    cup: int | None = None
    no: int | None = None


def check_entry(
    entry: Entry, table: Table, sheet: Sheet, verdicts: tuple[str, ...]
) -> tuple[Problem, ...]:
    """Name everything that keeps an entry from counting; nothing when it counts."""
    if entry.kind not in ENTRY_KINDS:
        return (
            Problem(
                where="entry",
                rule="its kind is one that there is",
                found=told(entry.kind),
                remedy=nearest_word(told(entry.kind), ENTRY_KINDS),
            ),
        )
    if entry.sheet != sheet.ref:
        return (
            Problem(
                where="entry",
                rule=f"it was made on the sheet {sheet.ref}",
                found=told(entry.sheet),
                remedy="Reload the page, then give it once more.",
            ),
        )
    return _check_said(entry, table, sheet, verdicts)


def _check_said(
    entry: Entry, table: Table, sheet: Sheet, verdicts: tuple[str, ...]
) -> tuple[Problem, ...]:
    match entry.kind:
        case "mark":
            place = _marked(entry, table)
            return (
                check_mark(entry.as_mark(), sheet, place) if place else _check_place(entry, table)
            )
        case "knew":
            return _check_knew(entry, table)
        case "call":
            return _check_call(entry, table, verdicts)
        case "new_call":
            return (*_check_call(entry, table, verdicts), *_check_reason(entry))
        case _:
            return _check_hand_in(entry)


def _check_knew(entry: Entry, table: Table) -> tuple[Problem, ...]:
    problems = _check_place(entry, table)
    if entry.value in (KNEW, None):
        return problems
    return (
        *problems,
        Problem(
            where="known coffee",
            rule=f"it is '{KNEW}', or taken back",
            found=told(entry.value),
            remedy="Say it once more.",
        ),
    )


def _check_hand_in(entry: Entry) -> tuple[Problem, ...]:
    if entry.value is None:
        return ()
    return (
        Problem(
            where="hand-in",
            rule="it says nothing but that the sheet is closed",
            found=told(entry.value),
            remedy="Hand in once more.",
        ),
    )


def _marked(entry: Entry, table: Table) -> Place | None:
    """Return the place of an entry, if it is one that is marked."""
    place = table.place(entry.place_id)
    return None if place is None or place.is_open else place


def _check_place(entry: Entry, table: Table) -> tuple[Problem, ...]:
    if _marked(entry, table):
        return ()
    return (
        Problem(
            where="entry",
            rule="its place stands on this table, and not open",
            found=told(entry.place_id),
            remedy="Check which table this phone joined.",
        ),
    )


def _check_reason(entry: Entry) -> tuple[Problem, ...]:
    problems = check_text(
        "Why", " ".join((entry.reason or "").split()), needed=True, length=REASON_LENGTH
    )
    if entry.value is not None:
        return problems
    return (
        *problems,
        Problem(
            where="new call",
            rule="it is a word",
            found="none",
            remedy="Choose one, and say why.",
        ),
    )


def _check_call(entry: Entry, table: Table, verdicts: tuple[str, ...]) -> tuple[Problem, ...]:
    wrong_place = _check_place(entry, table) if entry.place_id is not None else ()
    if entry.value in verdicts or entry.value is None:
        return wrong_place
    return (
        *wrong_place,
        Problem(
            where="call",
            rule=f"it is one of {', '.join(verdicts)}",
            found=told(entry.value),
            remedy=nearest_word(told(entry.value), verdicts),
        ),
    )
