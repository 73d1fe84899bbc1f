"""Codes that are typed, and leave for one device to take a seat over or to help."""

from crustbreak.core.errors import NotNow, NotThere
from crustbreak.core.randomness import Chance
from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.join_codes import (
    JOINING_STATES,
    draw_code,
    is_worn_out,
    read_code,
)
from crustbreak.domain.tables.state import SETTLED_STATES
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import Pass, Reading, Writing
from crustbreak.services.tables.passes import is_open
from crustbreak.services.tables.state import stand

USED_UP = "This code was used already, or is no longer open."
ASK_AGAIN = "Ask the host for a new one."


def fresh_code(lab: Lab) -> str:
    """Draw a code that nobody can guess."""
    return draw_code(Chance(lab.dice.seed()))


def code_of(lab: Lab, table: Table) -> str | None:
    """Give the code to be typed for a table; None when joining is over."""

    def ask(books: Reading) -> str | None:
        is_open = stand(lab, books, table).flight in JOINING_STATES
        return books.code(table.id) or None if is_open else None

    return lab.books.read(ask)


def find_by_code(lab: Lab, typed: str) -> str:
    """Give the token behind a typed code.

    Raises:  NotThere for a wrong one; ten of them within ten minutes replace the code of every
             table where joining is open and close the passes, and the host is told.
    """
    code = read_code(typed)
    token = lab.books.read(lambda books: _token(lab, books, code))
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


def _token(lab: Lab, books: Reading, code: str) -> str | None:
    if not code:
        return None
    leave = books.passed(code)
    if leave and leave.code == code and is_open(lab, books, leave):
        return leave.token
    table_id = books.coded(code)
    if table_id is None or not _is_joining_open(lab, books, table_id):
        return None
    return books.invitation(table_id)


def _is_joining_open(lab: Lab, books: Reading, table_id: str) -> bool:
    return stand(lab, books, books.table(table_id)).flight in JOINING_STATES


def _replace_codes(lab: Lab) -> None:
    def work(books: Writing) -> tuple[str, ...]:
        tables = tuple(each for each in books.codes() if _is_joining_open(lab, books, each))
        for table_id in tables:
            books.add_code(table_id, fresh_code(lab), at=lab.clock.now())
            books.add_event(table_id, "code replaced", at=lab.clock.now())
        return tables

    for table_id in lab.books.write(work):
        lab.notifier.ring(table_id)


def give_pass(lab: Lab, table: Table, seat_id: str | None) -> Pass:
    """Give leave for one device: to take a seat over, or, without a seat, to help.

    Raises:  NotThere for a seat of another table; NotNow once the table is closed.
    """
    if seat_id is not None and table.seat(seat_id) is None:
        raise NotThere("There is no such seat at this table.", hint="Go back to the table.")

    def work(books: Writing) -> Pass:
        state = stand(lab, books, table)
        if state.flight in SETTLED_STATES:
            raise NotNow(f"The table is {state.flight}.", hint="Nothing is marked there any more.")
        leave = Pass(
            table_id=table.id,
            seat_id=seat_id,
            token=lab.dice.secret(),
            code=fresh_code(lab),
            made_at=lab.clock.now(),
        )
        books.add_pass(leave)
        return leave

    return lab.books.write(work)


def demand_open(lab: Lab, books: Reading, leave: Pass) -> None:
    """Refuse a pass that opens no more."""
    if not is_open(lab, books, leave):
        raise NotNow(USED_UP, hint=ASK_AGAIN)
    state = stand(lab, books, books.table(leave.table_id))
    if state.flight in SETTLED_STATES:
        raise NotNow(f"The table is {state.flight}.", hint="Nothing is marked there any more.")
