"""A device at the table that taps pours and notes bowls for whoever holds the kettle."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from crustbreak.core.errors import CrustbreakError, Problem, nearest_word, told
from crustbreak.domain.tables.bowl_facts import BOWL_ACTS, FIGURES, UNDONE
from crustbreak.domain.tables.state import SETTLED_STATES, TableState
from crustbreak.domain.tables.transitions import CupState, FlightState
from crustbreak.exchange.entry_json import ID_SHAPE, entry_digest, read_entry
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import Answer, AnswerWord, ReadAccess, Tap, WriteAccess
from crustbreak.services.devices.join import Helping
from crustbreak.services.tables.actions import Tap as HostTap
from crustbreak.services.tables.actions import Touch, last_tap, touch
from crustbreak.services.tables.bowl_notes import Note, Noter, keep_note
from crustbreak.services.tables.state import snapshot_in
from crustbreak.services.tables.views import cups_at

TAPS = ("poured", "broken", "skimmed", "undone")
TWICE = Problem(
    where="tap",
    rule="an id and a number are used once",
    found="other words under the same one",
    remedy="Tell the host: this device may have been copied.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class HelperSide:
    """A table as a helper sees it: codes and bowls, nobody's marks, no coffee's name.

    can:  what can be tapped now; an undoing names the tap that it takes back.
    """

    helping: Helping
    state: TableState
    cups: tuple[CupState, ...]
    can: tuple[str, ...]
    taps: tuple[Tap, ...]
    now: datetime


def view_help(lab: Lab, helping: Helping) -> HelperSide:
    """Return what a helper's device may know."""
    now = lab.clock.now()

    def ask(records: ReadAccess) -> HelperSide:
        state = snapshot_in(lab, records, helping.table)
        taps = records.taps(helping.table.id)
        return HelperSide(
            helping=helping,
            state=state,
            cups=cups_at(helping.table, state, now=now),
            can=what_can_be_tapped(state),
            taps=tuple(tap for tap in taps if tap.grip == helping.grip),
            now=now,
        )

    return lab.repository.read(ask)


def what_can_be_tapped(state: TableState) -> tuple[str, ...]:
    """List what fits now: the next tap, and what the last one was for taking back."""
    if state.flight == FlightState.SET:
        return ("poured",)
    if state.flight != FlightState.UNDER_WAY:
        return ()
    following = {"poured": ("broken",), "broken": ("skimmed",)}
    last = last_tap(state)
    return (*following.get(last or "", ()), f"undo {last}")


def may_be_noted(state: TableState) -> bool:
    """Return whether something can be noted of single bowls now."""
    return state.flight not in SETTLED_STATES


def receive_taps(
    lab: Lab, helping: Helping, batch: Sequence[object], *, offset_ms: float | None = None
) -> tuple[Answer, ...]:
    """Store what a helper tapped, and let each that fits become an act of the table.

    A tap that had to wait for the network is taken at the moment at which it was made, by the
    device's clock put right; never later than now.
    """

    def work(records: WriteAccess) -> tuple[Answer, ...]:
        return tuple(_take(lab, records, helping, raw, offset_ms) for raw in batch)

    answers = lab.repository.write(work)
    lab.notifier.ring(helping.table.id)
    return answers


def _take(
    lab: Lab, records: WriteAccess, helping: Helping, raw: object, offset_ms: float | None
) -> Answer:
    named = raw.get("id") if isinstance(raw, Mapping) else None
    entry_id = named if isinstance(named, str) and ID_SHAPE.fullmatch(named) else ""
    _, digest = entry_digest(raw)
    # A tap has the shape of an entry; a sheet it has none.
    shaped = {**raw, "sheet": "none"} if isinstance(raw, Mapping) else raw
    entry, problems = read_entry(shaped, table_id=helping.table.id, seat_id="")
    if entry is None:
        # Without an id and a number there is nothing under which it could be kept.
        return _answer_of(entry_id, problems[0])
    tap = Tap(
        table_id=helping.table.id,
        id=entry.id,
        grip=helping.grip,
        no=entry.no,
        kind=entry.kind,
        value=None if entry.value is None else str(entry.value),
        device_time=entry.device_time,
        received_at=lab.clock.now(),
        digest=digest,
        place_id=entry.place_id,
        cup=entry.cup,
    )
    twins = [each for each in records.taps(helping.table.id) if _is_twin(each, tap)]
    if twins:
        return _kept_answer(twins[0]) if twins[0].digest == digest else _answer_of(entry.id, TWICE)
    return _kept_answer(_act(lab, records, helping, tap, offset_ms))


def _is_twin(old: Tap, tap: Tap) -> bool:
    return old.id == tap.id or (old.grip, old.no) == (tap.grip, tap.no)


def _act(
    lab: Lab, records: WriteAccess, helping: Helping, tap: Tap, offset_ms: float | None
) -> Tap:
    state = snapshot_in(lab, records, helping.table)
    try:
        if tap.kind in BOWL_ACTS:
            keep_note(lab, records, helping.table, _note(tap), by=_noter(tap, offset_ms, helping))
        else:
            made = Touch(
                tap=_named(tap),
                undoes=tap.kind == "undone",
                at=_moment(tap, offset_ms, state),
                by=f"helper {helping.grip}",
            )
            touch(lab, records, helping.table, made)
    except CrustbreakError as error:
        tap = replace(tap, rule=error.message, remedy=error.hint)
    records.add_tap(tap)
    return tap


def _note(tap: Tap) -> Note:
    return Note(
        kind=tap.kind,
        place_id=tap.place_id,
        cup=tap.cup,
        figure=_figure(tap.value) if tap.kind in FIGURES else None,
        name=tap.value or "" if tap.kind == UNDONE else "",
    )


def _figure(text: str | None) -> float | None:
    try:
        return float((text or "").replace(",", "."))
    except ValueError:
        return None


def _noter(tap: Tap, offset_ms: float | None, helping: Helping) -> Noter:
    # Nothing is noted before the table was planned, or in time to come.
    made_at = _made_at(tap, offset_ms)
    at = min(max(made_at, helping.table.planned_at), tap.received_at)
    return Noter(at=at, grip=tap.grip, no=tap.no)


def _made_at(tap: Tap, offset_ms: float | None) -> datetime:
    if offset_ms is None:
        return tap.received_at
    return tap.device_time + timedelta(milliseconds=offset_ms)


def _named(tap: Tap) -> HostTap:
    said = tap.value if tap.kind == "undone" else tap.kind
    if said == "poured":
        return "poured"
    if said == "broken":
        return "broken"
    if said == "skimmed":
        return "skimmed"
    raise CrustbreakError(
        f"A helper taps {', '.join(TAPS)}; not {told(said)}.",
        hint=nearest_word(told(said), TAPS),
    )


def _moment(tap: Tap, offset_ms: float | None, state: TableState) -> datetime:
    made_at = _made_at(tap, offset_ms)
    earliest = state.poured_at or state.set_at or tap.received_at
    return min(max(made_at, earliest), tap.received_at)


def _answer_of(entry_id: str, problem: Problem) -> Answer:
    return Answer(entry_id=entry_id, word="set aside", rule=problem.rule, remedy=problem.remedy)


def _kept_answer(tap: Tap) -> Answer:
    word: AnswerWord = "set aside" if tap.rule else "kept"
    return Answer(entry_id=tap.id, word=word, rule=tap.rule, remedy=tap.remedy)
