"""Take down what a device says.

Each entry gets an answer of its own, after it is on disk. What cannot count is set aside and
stored as sent; a bad entry never holds up the next.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from crustbreak.domain.table.blinding import OPEN_STATES
from crustbreak.domain.table.entries import Entry, check_entry
from crustbreak.domain.table.states import FlightState
from crustbreak.exchange.entries import ID_SHAPE, entry_digest, read_entry
from crustbreak.footing.errors import Problem
from crustbreak.ports.books import Answer, KeptEntry, SetAside, Writing
from crustbreak.ports.lab import Lab
from crustbreak.services.joining import Seated
from crustbreak.services.standing import stand

TWICE = Problem(
    where="entry",
    rule="an id and a number are used once",
    found="other words under the same one",
    remedy="Tell the host: this phone may have been copied.",
)

# From here on a table no longer changes by what a device says.
CLOSED_STATES = OPEN_STATES | {FlightState.ABANDONED}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sent:
    """One thing of a batch as it came: who sent it, its text and digest, the id it gave itself."""

    seated: Seated
    raw: object
    body: str
    digest: str
    entry_id: str


def take_entries(lab: Lab, seated: Seated, batch: Sequence[object]) -> tuple[Answer, ...]:
    """Store a batch and answer each entry, in the order sent."""
    sent = [_read(seated, raw) for raw in batch]

    def work(books: Writing) -> tuple[Answer, ...]:
        closed = stand(lab, books, seated.table).flight in CLOSED_STATES
        hand_ins = [
            kept.entry.order
            for kept in books.entries(seated.table.id)
            if kept.entry.kind == "hand_in" and kept.entry.seat_id == seated.seat.id
        ]
        return tuple(_take(lab, books, each, closed=closed, hand_ins=hand_ins) for each in sent)

    return lab.books.write(work)


def _read(seated: Seated, raw: object) -> _Sent:
    body, digest = entry_digest(raw)
    named = raw.get("id") if isinstance(raw, dict) else None
    # Only an id that is one is said back: anything else could be what no answer can carry.
    entry_id = named if isinstance(named, str) and ID_SHAPE.fullmatch(named) else ""
    return _Sent(seated=seated, raw=raw, body=body, digest=digest, entry_id=entry_id)


def _take(
    lab: Lab, books: Writing, sent: _Sent, *, closed: bool, hand_ins: list[tuple[int, int]]
) -> Answer:
    at = sent.seated
    entry, problems = read_entry(sent.raw, table_id=at.table.id, seat_id=at.seat.id)
    if entry is None:
        return _set_aside(lab, books, sent, problems[0])
    twin = books.entry(entry.id) or books.entry_at(entry.seat_id, entry.grip, entry.no)
    if twin:
        same = twin.digest == sent.digest and twin.entry.seat_id == entry.seat_id
        return _answer(twin) if same else _set_aside(lab, books, sent, TWICE)
    problems = _faults(lab, at, entry)
    if problems:
        return _set_aside(lab, books, sent, problems[0])
    if entry.kind == "hand_in":
        hand_ins.append(entry.order)
    after = entry.kind == "mark" and any(entry.order > order for order in hand_ins)
    kept = KeptEntry(
        entry=entry,
        received_at=lab.clock.now(),
        digest=sent.digest,
        late=closed or after,
    )
    books.add_entry(kept)
    return _answer(kept)


def _faults(lab: Lab, at: Seated, entry: Entry) -> tuple[Problem, ...]:
    if entry.grip != at.grip:
        return (
            Problem(
                where="entry",
                rule=f"this phone is number {at.grip} of the seat",
                found=str(entry.grip),
                remedy="Reload the page.",
            ),
        )
    verdicts = lab.kit(at.table.question).question.verdicts
    return check_entry(entry, at.table, lab.sheet(at.table.sheet), verdicts)


def _answer(kept: KeptEntry) -> Answer:
    if kept.late:
        return Answer(
            entry_id=kept.entry.id,
            word="kept late",
            rule="it was made after the hand-in, or came after the table was closed",
            remedy="It is kept and out of the evidence: tell the host.",
        )
    return Answer(entry_id=kept.entry.id, word="kept")


def _set_aside(lab: Lab, books: Writing, sent: _Sent, problem: Problem) -> Answer:
    books.add_set_aside(
        SetAside(
            table_id=sent.seated.table.id,
            seat_id=sent.seated.seat.id,
            body=sent.body,
            digest=sent.digest,
            rule=f"{problem.where}: {problem.rule}; found {problem.found}",
            remedy=problem.remedy,
            received_at=lab.clock.now(),
        )
    )
    return Answer(
        entry_id=sent.entry_id, word="set aside", rule=problem.rule, remedy=problem.remedy
    )
