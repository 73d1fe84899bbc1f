"""The lab's books: what is kept, and how it is read and written.

`write` takes a function and runs it on the one writing thread inside a transaction, so that
reading, checking and writing are one unit. Entries, events and verdicts are only ever added.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Literal, Protocol, TypeVar

from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.keys import Key
from crustbreak.domain.records.tables import Table
from crustbreak.domain.records.verdicts import Verdict
from crustbreak.domain.table.entries import Entry, Event, EventKind

T = TypeVar("T")

AnswerWord = Literal["kept", "kept late", "set aside"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What the lab said to one entry.

    word:    `kept`, `kept late` or `set aside`.
    rule:    why it was set aside or came late; empty otherwise.
    remedy:  what to do about that; empty otherwise.
    """

    entry_id: str
    word: AnswerWord
    rule: str = ""
    remedy: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptEntry:
    """An entry with when it came, as which bytes, and what was answered.

    digest:  SHA-256 of the entry as sent, hex.
    late:    it was made after the hand-in or came after the table was closed, and is out of the
             evidence.
    """

    entry: Entry
    received_at: datetime
    digest: str
    late: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SetAside:
    """Something a device sent that cannot count, stored as sent.

    body:    the JSON text as it came.
    digest:  SHA-256 of the body, hex; the same body from the same seat is stored once.
    """

    table_id: str
    seat_id: str
    body: str
    digest: str
    rule: str
    remedy: str
    received_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Joining:
    """A device that took a seat.

    grip:         the seat's device number, from 1.
    secret_hash:  SHA-256 of the device's secret, hex; the secret itself is not kept.
    """

    table_id: str
    seat_id: str
    grip: int
    secret_hash: str
    joined_at: datetime


class Reading(Protocol):
    """What can be asked of the books."""

    def tables(self) -> tuple[Table, ...]:
        """Give all tables, the newest first."""

    def table(self, table_id: str) -> Table:
        """Give one table; NotThere when there is none."""

    def coffees(self, table_id: str) -> tuple[Coffee, ...]:
        """Give a table's coffees in the order typed: for the host's eyes only."""

    def invitation(self, table_id: str) -> str:
        """Give the 128-bit token by which a device joins the table."""

    def invited(self, token: str) -> Table:
        """Give the table of an invitation; NotThere when there is none."""

    def entries(self, table_id: str) -> tuple[KeptEntry, ...]:
        """Give everything the devices said, in the order of arrival."""

    def entry(self, entry_id: str) -> KeptEntry | None:
        """Give one entry by its id, or None."""

    def entry_at(self, seat_id: str, grip: int, no: int) -> KeptEntry | None:
        """Give the entry that a seat's device numbered so, or None."""

    def set_asides(self, table_id: str) -> tuple[SetAside, ...]:
        """Give what was set aside, in the order of arrival."""

    def events(self, table_id: str) -> tuple[Event, ...]:
        """Give the host's acts by number."""

    def events_by_table(self) -> Mapping[str, tuple[Event, ...]]:
        """Give every table's events by number, in one query."""

    def joinings(self, table_id: str) -> tuple[Joining, ...]:
        """Give the devices that took seats, in order."""

    def joining(self, secret_hash: str) -> Joining:
        """Give the device with this secret; NotYours when there is none."""

    def verdict(self, table_id: str) -> Verdict | None:
        """Give the table's verdict, or None."""


class Writing(Reading, Protocol):
    """What can be added to the books."""

    def add_table(self, table: Table, coffees: tuple[Coffee, ...], *, token: str) -> None:
        """Add a planned table, its coffees and its invitation."""

    def add_event(self, table_id: str, kind: EventKind, *, at: datetime, detail: str = "") -> Event:
        """Add an act of the host, numbered after the last."""

    def add_entry(self, kept: KeptEntry) -> None:
        """Add an entry; its id and its (seat, grip, no) must not be there yet."""

    def add_set_aside(self, sent: SetAside) -> None:
        """Add what cannot count; the same body from the same seat is there once."""

    def add_joining(self, joining: Joining) -> None:
        """Add a device that takes a seat."""

    def add_verdict(self, verdict: Verdict) -> None:
        """Add a verdict."""


class Books(Protocol):
    """The lab's records. Both calls block until the answer is there, or the write is on disk."""

    def read(self, ask: Callable[[Reading], T]) -> T:
        """Answer a question on a read-only connection."""

    def write(self, work: Callable[[Writing], T]) -> T:
        """Do a piece of work as one unit: all of it is kept, or none."""


class KeyBox(Protocol):
    """The keys' own store. Its one reader is `services.keys`, which asks the rules first."""

    def seal(self, table_id: str, key: Key) -> None:
        """Put a key away; a table has one for ever."""

    def open(self, table_id: str) -> Key:
        """Give a table's key; NotThere when there is none."""
