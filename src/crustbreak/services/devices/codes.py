"""Codes that are typed, and leave for one device to take a seat over or to help."""

from crustbreak.core.errors import NotNow, NotThere
from crustbreak.core.randomness import SeededRandom
from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.join_codes import (
    JOINING_STATES,
    draw_code,
    is_worn_out,
    read_code,
)
from crustbreak.domain.tables.state import SETTLED_STATES
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import Pass, ReadAccess, WriteAccess
from crustbreak.services.tables.passes import is_open
from crustbreak.services.tables.planned import table_of, tables_of
from crustbreak.services.tables.state import snapshot_in, snapshots_of

USED_UP = "This code was used already, or is no longer open."
ASK_AGAIN = "Ask the host for a new one."


def fresh_code(lab: Lab) -> str:
    """Draw a code that nobody can guess."""
    return draw_code(SeededRandom(lab.randomness.seed()))


def code_of(lab: Lab, table: Table) -> str | None:
    """Return the code to be typed for a table; None when joining is over."""

    def ask(records: ReadAccess) -> str | None:
        is_open = snapshot_in(lab, records, table).flight in JOINING_STATES
        return records.code(table.id) or None if is_open else None

    return lab.repository.read(ask)


def find_by_code(lab: Lab, typed: str) -> str:
    """Return the token behind a typed code.

    Raises:  NotThere for a wrong one; ten of them within ten minutes replace the code of every
             table where joining is open and close the passes, and the host is told.
    """
    code = read_code(typed)
    token = lab.repository.read(lambda records: _token(lab, records, code))
    if token is None:
        now = lab.clock.now()
        if is_worn_out(lab.guesses.wrong_code(now), now):
            lab.guesses.forget_codes()
            _replace_codes(lab)
        raise NotThere(
            "This is no code of an open table.",
            hint="Look at the laptop: the code may be a new one. Six signs, no O and no I.",
        )
    return token


def _token(lab: Lab, records: ReadAccess, code: str) -> str | None:
    if not code:
        return None
    leave = records.passed(code)
    if leave and leave.code == code and is_open(lab, records, leave):
        return leave.token
    table_id = records.coded(code)
    if table_id is None or not _is_joining_open(lab, records, table_id):
        return None
    return records.invitation(table_id)


def _is_joining_open(lab: Lab, records: ReadAccess, table_id: str) -> bool:
    return snapshot_in(lab, records, table_of(lab, records, table_id)).flight in JOINING_STATES


def _joining_open(lab: Lab, records: ReadAccess) -> tuple[str, ...]:
    """List the tables that can be joined by a code; of the closed ones of years none is read."""
    versions = {each.id: each.version for each in records.open_tables()}
    found = snapshots_of(lab, records, versions, tables_of(lab, records, tuple(versions)))
    open_ = (each for each in versions if found[each].state.flight in JOINING_STATES)
    return tuple(each for each in open_ if records.code(each))


def _replace_codes(lab: Lab) -> None:
    def work(records: WriteAccess) -> tuple[str, ...]:
        tables = _joining_open(lab, records)
        for table_id in tables:
            records.add_code(table_id, fresh_code(lab), at=lab.clock.now())
            records.add_event(table_id, "code replaced", at=lab.clock.now())
        return tables

    for table_id in lab.repository.write(work):
        lab.notifier.ring(table_id)


def give_pass(lab: Lab, table: Table, seat_id: str | None) -> Pass:
    """Return leave for one device: to take a seat over, or, without a seat, to help.

    Raises:  NotThere for a seat of another table; NotNow once the table is closed.
    """
    if seat_id is not None and table.seat(seat_id) is None:
        raise NotThere("There is no such seat at this table.", hint="Go back to the table.")

    def work(records: WriteAccess) -> Pass:
        state = snapshot_in(lab, records, table)
        if state.flight in SETTLED_STATES:
            raise NotNow(f"The table is {state.flight}.", hint="Nothing is marked there any more.")
        leave = Pass(
            table_id=table.id,
            seat_id=seat_id,
            token=lab.randomness.secret(),
            code=fresh_code(lab),
            made_at=lab.clock.now(),
        )
        records.add_pass(leave)
        return leave

    return lab.repository.write(work)


def demand_open(lab: Lab, records: ReadAccess, leave: Pass) -> None:
    """Refuse a pass that opens no more."""
    if not is_open(lab, records, leave):
        raise NotNow(USED_UP, hint=ASK_AGAIN)
    state = snapshot_in(lab, records, table_of(lab, records, leave.table_id))
    if state.flight in SETTLED_STATES:
        raise NotNow(f"The table is {state.flight}.", hint="Nothing is marked there any more.")
