"""Take down what a device says.

Each entry gets an answer of its own, after it is on disk. What cannot count is set aside and
stored as sent; a bad entry never holds up the next.
"""

from collections.abc import Mapping, Sequence
from concurrent.futures import Future
from dataclasses import dataclass

from crustbreak.core.errors import Problem
from crustbreak.domain.tables.entries import Entry, check_entry
from crustbreak.domain.tables.seats import Number
from crustbreak.domain.tables.transitions import FlightState
from crustbreak.exchange.entry_json import ID_SHAPE, entry_digest, is_count, read_entry
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import Answer, KeptEntry, SetAside, WriteAccess
from crustbreak.services.devices.join import Seated, demand_recognised
from crustbreak.services.tables.state import refused_grips, snapshot_in

TWICE = Problem(
    where="entry",
    rule="an id and a number are used once",
    found="other words under the same one",
    remedy="Tell the host: this phone may have been copied.",
)

# What others at the table need to see at once; how many marks somebody has can wait.
HEARD_BY_OTHERS = frozenset({"hand_in", "call", "new_call"})


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sent:
    """One thing of a batch as it came: who sent it, its text and digest, the id it gave itself."""

    seated: Seated
    raw: object
    body: str
    digest: str
    entry_id: str
    offset_ms: float | None


@dataclass(slots=True, kw_only=True)
class _Seat:
    """How the seat stands before the batch: closed or not, its hand-ins, who holds it."""

    closed: bool
    hand_ins: list[Number]
    holder: int


def receive_entries(
    lab: Lab, seated: Seated, batch: Sequence[object], *, offset_ms: float | None = None
) -> tuple[Answer, ...]:
    """Store a batch and answer each entry, in the order sent.

    Args:    offset_ms: the lab's clock minus the device's, as the device takes it to be.
    Raises:  NotYours when the host has not recognised the device.
    """
    return receive_later(lab, seated, batch, offset_ms=offset_ms).result()


def receive_later(
    lab: Lab, seated: Seated, batch: Sequence[object], *, offset_ms: float | None = None
) -> "Future[tuple[Answer, ...]]":
    """Queue a batch as `take_entries` stores it, for who has other things to do meanwhile."""
    sent = [_read(seated, raw, offset_ms) for raw in batch]

    def work(records: WriteAccess) -> tuple[Answer, ...]:
        seat = _stand_of(records, seated)
        return tuple(_take(lab, records, each, seat) for each in sent)

    answers = lab.repository.later(work)
    kinds = (each.raw.get("kind") for each in sent if isinstance(each.raw, Mapping))
    if any(kind in HEARD_BY_OTHERS for kind in kinds if isinstance(kind, str)):
        answers.add_done_callback(lambda _kept: lab.notifier.ring(seated.table.id))
    return answers


def _stand_of(records: WriteAccess, seated: Seated) -> _Seat:
    # Not the whole table: this runs for every mark of every taster.
    table_id, seat_id = seated.table.id, seated.seat.id
    seat = records.glance(table_id, seat_id)
    hand_ins = records.hand_ins(seat_id) if seat.has_hand_ins else ()
    if not seat.has_refusals:
        return _Seat(closed=seat.closed, hand_ins=list(hand_ins), holder=seat.grip)
    refused = refused_grips(records.events(table_id), seat_id)
    demand_recognised(seated, refused)
    grips = {each.grip for each in records.joinings(table_id) if each.seat_id == seat_id}
    return _Seat(
        closed=seat.closed,
        hand_ins=[order for order in hand_ins if order[0] not in refused],
        holder=max(grips - refused, default=seated.grip),
    )


def _read(seated: Seated, raw: object, offset_ms: float | None) -> _Sent:
    body, digest = entry_digest(raw)
    named = raw.get("id") if isinstance(raw, Mapping) else None
    # Only an id that is one is said back: anything else could be what no answer can carry.
    entry_id = named if isinstance(named, str) and ID_SHAPE.fullmatch(named) else ""
    return _Sent(
        seated=seated, raw=raw, body=body, digest=digest, entry_id=entry_id, offset_ms=offset_ms
    )


def _take(lab: Lab, records: WriteAccess, sent: _Sent, seat: _Seat) -> Answer:
    at = sent.seated
    entry, problems = read_entry(sent.raw, table_id=at.table.id, seat_id=at.seat.id)
    if entry is None:
        return _set_aside(lab, records, sent, problems[0])
    problems = _faults(lab, at, entry)
    if problems:
        return _set_aside(lab, records, sent, problems[0])
    kept = KeptEntry(
        entry=entry,
        received_at=lab.clock.now(),
        digest=sent.digest,
        late=_comes_late(lab, records, at, entry, seat),
        offset_ms=sent.offset_ms,
    )
    twin = records.add_entry(kept)
    if twin:
        same = twin.digest == sent.digest and twin.entry.seat_id == entry.seat_id
        return _answer(twin) if same else _set_aside(lab, records, sent, TWICE)
    if entry.kind == "hand_in" and not kept.late:
        seat.hand_ins.append(entry.order)
    return _answer(kept)


def _comes_late(lab: Lab, records: WriteAccess, at: Seated, entry: Entry, seat: _Seat) -> bool:
    if entry.kind == "new_call":
        # It comes after the names, and counts until somebody has decided.
        return snapshot_in(lab, records, at.table).flight != FlightState.UNCOVERED
    if entry.kind == "call" and not seat.closed:
        return any(act.kind == "double shown" for act in records.events(at.table.id))
    return seat.closed or _is_late(entry, seat)


def _is_late(entry: Entry, seat: _Seat) -> bool:
    # Whoever took the seat over hands it in: the old device's word for it came too late.
    if entry.kind == "hand_in":
        return entry.grip < seat.holder
    return entry.kind == "mark" and any(entry.order > order for order in seat.hand_ins)


def _faults(lab: Lab, at: Seated, entry: Entry) -> tuple[Problem, ...]:
    # A device also holds what an older one of its seat had said, and sends it after a restore.
    if entry.grip > at.grip:
        return (
            Problem(
                where="entry",
                rule=f"this phone is number {at.grip} of the seat",
                found=str(entry.grip),
                remedy="Reload the page.",
            ),
        )
    verdicts = lab.plugin(at.table.question).question.verdicts
    return check_entry(entry, at.table, lab.sheet(at.table.sheet), verdicts)


def _answer(kept: KeptEntry) -> Answer:
    if kept.late:
        return Answer(
            entry_id=kept.entry.id,
            word="kept late",
            rule="it was made after the hand-in, or came after the seat or the table was closed",
            remedy="It is kept and out of the evidence: tell the host.",
        )
    return Answer(entry_id=kept.entry.id, word="kept")


def _set_aside(lab: Lab, records: WriteAccess, sent: _Sent, problem: Problem) -> Answer:
    grip, no = _number(sent.raw)
    records.add_set_aside(
        SetAside(
            table_id=sent.seated.table.id,
            seat_id=sent.seated.seat.id,
            body=sent.body,
            digest=sent.digest,
            rule=f"{problem.where}: {problem.rule}; found {problem.found}",
            remedy=problem.remedy,
            received_at=lab.clock.now(),
            grip=grip,
            no=no,
        )
    )
    return Answer(
        entry_id=sent.entry_id, word="set aside", rule=problem.rule, remedy=problem.remedy
    )


def _number(raw: object) -> tuple[int | None, int | None]:
    """Return the number of what was set aside, if it has one: it is not waited for then."""
    if not isinstance(raw, Mapping) or not (is_count(raw.get("grip")) and is_count(raw.get("no"))):
        return None, None
    return raw["grip"], raw["no"]
