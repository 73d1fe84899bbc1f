"""The lab's books: what is kept, and how it is read and written.

`write` takes a function and runs it on the one writing thread inside a transaction, so that
reading, checking and writing are one unit. Entries, events and verdicts are only ever added.
"""

from collections.abc import Callable, Collection, Mapping
from concurrent.futures import Future
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Literal, Protocol, TypeVar

from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.keys import Key
from crustbreak.domain.records.numbered_bowls import NumberedBowls
from crustbreak.domain.records.tables import Table
from crustbreak.domain.records.verdicts import Verdict
from crustbreak.domain.tables.entries import Entry, Event, EventKind
from crustbreak.ports.documents import DocumentKind

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
    offset_ms:  by how much the device took the lab's clock to be ahead of its own; None where
                it did not say.
    arrival:    its place in the order of arrival, given by the store; 0 before.
    """

    entry: Entry
    received_at: datetime
    digest: str
    late: bool
    offset_ms: float | None = None
    arrival: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class SetAside:
    """Something a device sent that cannot count, stored as sent.

    body:    the JSON text as it came.
    digest:  SHA-256 of the body, hex; the same body from the same seat is stored once.
    grip, no:  its number, where it could be read: it has arrived and is not waited for.
    """

    table_id: str
    seat_id: str
    body: str
    digest: str
    rule: str
    remedy: str
    received_at: datetime
    grip: int | None = None
    no: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Joining:
    """A device that took a seat.

    grip:         the seat's device number, from 1.
    secret_hash:  SHA-256 of the device's secret, hex; the secret itself is not kept.
    token:        of the pass by which it took the seat over; None where the seat was free.
    """

    table_id: str
    seat_id: str
    grip: int
    secret_hash: str
    joined_at: datetime
    token: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Glance:
    """A seat as far as each thing said from it needs it.

    closed:          whether the table no longer changes by what a device says.
    has_refusals:    whether the host ever refused a device of the seat.
    has_hand_ins:    whether the seat has a hand-in that is not late.
    grip:            the number of its newest device; 0 while it has none.
    """

    closed: bool
    has_refusals: bool
    has_hand_ins: bool
    grip: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Pass:
    """Leave for one device, given by the host and used once.

    seat_id:  the seat that it takes over; None for a helper at the table.
    token:    128 bits for a QR code.
    code:     the same to be typed.
    """

    table_id: str
    seat_id: str | None
    token: str
    code: str
    made_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Helper:
    """A device at the table that taps pours and judges nothing.

    grip:  the helper's number at its table, from 1.
    """

    table_id: str
    grip: int
    secret_hash: str
    joined_at: datetime
    token: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tap:
    """What a helper's device said, kept as an entry is.

    id, grip, no:  as an entry's; (grip, no) is a helper's at its table.
    kind:          `poured`, `broken`, `skimmed` or `undone`, or the kind of a bowl's fact.
    value:         which tap was taken back, for `undone`; what was weighed or measured of a bowl,
                   or the name of the fact that was taken back.
    place_id, cup: the bowl that it is about, where it is about one.
    digest:        SHA-256 of what was sent, hex.
    rule, remedy:  why it did not count; empty where it became an act of the table.
    """

    table_id: str
    id: str
    grip: int
    no: int
    kind: str
    value: str | None
    device_time: datetime
    received_at: datetime
    digest: str
    rule: str = ""
    remedy: str = ""
    place_id: str | None = None
    cup: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """A table in a list: which it is, how it ended, and by what one sees that it has changed.

    first_look:    id of the screening of which it is a flight, or empty.
    follows:       of the table to whose answer it adds, or empty.
    ended:         `decided` or `abandoned`; empty while something is owed at it.
    uncovered_at:  when its codes got their names, None before.
    version:       as `Reading.version`.
    """

    id: str
    question: str
    sheet: str
    planned_at: datetime
    screening: str
    follows: str
    ended: str
    uncovered_at: datetime | None
    version: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TableRecords:
    """All that was said and done at a table, each in its order."""

    entries: tuple[KeptEntry, ...] = ()
    events: tuple[Event, ...] = ()
    set_asides: tuple[SetAside, ...] = ()
    joinings: tuple[Joining, ...] = ()


class ReadAccess(Protocol):
    """What can be asked of the records.

    is_writing:  it is asked in the middle of a piece of work, of which nothing may be kept yet.
    """

    is_writing: bool

    def tables(self) -> tuple[Table, ...]:
        """Return all tables, the newest first."""

    def table(self, table_id: str) -> Table:
        """Return one table; NotThere when there is none."""

    def coffees(self, table_id: str) -> tuple[Coffee, ...]:
        """Return a table's coffees in the order typed: for the host's eyes only."""

    def numbered_bowls(self, table_id: str) -> tuple[NumberedBowls, ...]:
        """Return what goes into which numbered bowls; nothing where they are not numbered."""

    def document(
        self, kind: DocumentKind[T], of: str = "", *, until: datetime | None = None
    ) -> T | None:
        """Return the last document of a kind, as it stood at a moment or stands; None before.

        Args:  of: id of the table that it is about; empty for the lab.
        """

    def documents(
        self, kind: DocumentKind[T], of: str = "", *, until: datetime | None = None
    ) -> tuple[T, ...]:
        """Return every document of a kind, the first first."""

    def documents_version(self, *kinds: DocumentKind[Any]) -> int:
        """Return a number that rises with every document of these kinds."""

    def tables_with(
        self, kind: DocumentKind[Any], question: str, until: datetime
    ) -> tuple[Listed, ...]:
        """Return the tables of a question, planned until a moment, that have a document."""

    def invitation(self, table_id: str) -> str:
        """Return the 128-bit token by which a device joins the table."""

    def invited(self, token: str) -> Table:
        """Return the table of an invitation; NotThere when there is none."""

    def entries(self, table_id: str) -> tuple[KeptEntry, ...]:
        """Return everything the devices said, in the order of arrival."""

    def version(self, table_id: str) -> tuple[int, ...]:
        """Return numbers of which one rises with whatever is added to a table."""

    def glance(self, table_id: str, seat_id: str) -> Glance:
        """Return what has to be known of a seat for each thing that is said from it."""

    def last_arrival(self, table_id: str) -> int:
        """Return the arrival of the last entry at a table; 0 while there is none."""

    def hand_ins(self, seat_id: str) -> tuple[tuple[int, int], ...]:
        """Return (grip, no) of every hand-in of a seat that is not late."""

    def set_asides(self, table_id: str) -> tuple[SetAside, ...]:
        """Return what was set aside, in the order of arrival."""

    def events(self, table_id: str) -> tuple[Event, ...]:
        """Return the host's acts by number."""

    def joinings(self, table_id: str) -> tuple[Joining, ...]:
        """Return the devices that took seats, in order."""

    def joining(self, secret_hash: str) -> Joining:
        """Return the device with this secret; NotYours when there is none."""

    def verdict(self, table_id: str) -> Verdict | None:
        """Return the table's latest verdict, or None."""

    def verdicts(self, table_id: str) -> tuple[Verdict, ...]:
        """Return the table's verdicts, the first first."""

    def code(self, table_id: str) -> str:
        """Return the code that is typed to join the table now; empty when it never had one."""

    def coded(self, code: str) -> str | None:
        """Return the id of the table whose code of now this is, or None."""

    def passes(self, table_id: str) -> tuple[Pass, ...]:
        """Return the passes that were given out at a table, in order."""

    def passed(self, said: str) -> Pass | None:
        """Return the newest pass with this token or this code, or None."""

    def helpers(self, table_id: str) -> tuple[Helper, ...]:
        """Return the helpers of a table, in order."""

    def helper(self, secret_hash: str) -> Helper | None:
        """Return the helper with this secret, or None."""

    def taps(self, table_id: str) -> tuple[Tap, ...]:
        """Return what the helpers said, in the order of arrival."""

    def incarnation(self) -> str:
        """Return the name of this lab's life, which is another after a restore; empty at first."""

    def is_host_device(self, secret_hash: str) -> bool:
        """Return whether a browser with this secret was let in as the host's."""

    def open_tables(self) -> tuple[Listed, ...]:
        """Return all tables at which something is owed."""

    def ended_tables(self, *, limit: int | None = None, before: str = "") -> tuple[Listed, ...]:
        """Return the newest tables that were decided or given up.

        Args:  before: only those that come after this table in the list; empty for all.
        """

    def uncovered_tables(
        self, sheet: str, *, before: datetime | None, limit: int
    ) -> tuple[Listed, ...]:
        """Return the tables on a sheet whose codes have names, the last uncovered first."""

    def newest_table(self, question: str = "") -> Listed | None:
        """Return the newest table, or a question's newest that was not given up; None without."""

    def flights(self, screenings: Collection[str]) -> tuple[Listed, ...]:
        """Return the flights of screenings."""

    def following(self, table_id: str) -> tuple[Listed, ...]:
        """Return the tables that add to the answer of one."""

    def listed(self, table_ids: Collection[str]) -> tuple[Listed, ...]:
        """Return these tables as in a list; one that is not there is left out."""

    def tables_of(self, table_ids: Collection[str]) -> Mapping[str, Table]:
        """Return tables by id."""

    def table_records(self, table_ids: Collection[str]) -> Mapping[str, TableRecords]:
        """Return all that was said and done at each table."""

    def coffees_of(self, table_ids: Collection[str]) -> Mapping[str, tuple[Coffee, ...]]:
        """Return the coffees of each table in the order typed."""

    def trays_of(self, table_ids: Collection[str]) -> Mapping[str, tuple[NumberedBowls, ...]]:
        """Return what goes into the numbered bowls of each table."""

    def verdicts_of(self, table_ids: Collection[str]) -> Mapping[str, Verdict]:
        """Return the latest verdict of each table that has one."""


class WriteAccess(ReadAccess, Protocol):
    """What can be added to the records."""

    def add_table(
        self,
        table: Table,
        coffees: tuple[Coffee, ...],
        *,
        token: str,
        numbered_bowls: tuple[NumberedBowls, ...] = (),
    ) -> None:
        """Add a planned table, its coffees, its invitation and, of numbered bowls, its trays."""

    def add_event(self, table_id: str, kind: EventKind, *, at: datetime, **about: Any) -> Event:
        """Add an act, numbered after the last; `about` are further fields of the event."""

    def add_entry(self, kept: KeptEntry) -> KeptEntry | None:
        """Add an entry, or give the one that has its id or else its (seat, grip, no) already."""

    def add_set_aside(self, sent: SetAside) -> None:
        """Add what cannot count; the same body from the same seat is there once."""

    def add_joining(self, joining: Joining) -> None:
        """Add a device that takes a seat."""

    def add_verdict(self, verdict: Verdict) -> None:
        """Add a verdict."""

    def add_code(self, table_id: str, code: str, *, at: datetime) -> None:
        """Add a code for the table; the one before no longer opens."""

    def add_pass(self, leave: Pass) -> None:
        """Add a pass."""

    def add_helper(self, helper: Helper) -> None:
        """Add a helper at a table."""

    def add_tap(self, tap: Tap) -> None:
        """Add what a helper said; its id and its (table, grip, no) must not be there yet."""

    def add_incarnation(self, incarnation: str, *, at: datetime, reason: str) -> None:
        """Begin a new life of this lab."""

    def add_document(
        self, kind: DocumentKind[T], document: T, of: str = "", *, at: datetime
    ) -> None:
        """Add a document of a kind; an earlier one stays."""

    def add_host_device(self, secret_hash: str, *, at: datetime) -> None:
        """Let a browser in as the host's."""


class Repository(Protocol):
    """The lab's records. Both calls block until the answer is there, or the write is on disk."""

    def read(self, ask: Callable[[ReadAccess], T]) -> T:
        """Answer a question on a read-only connection."""

    def write(self, work: Callable[[WriteAccess], T]) -> T:
        """Do a piece of work as one unit: all of it is kept, or none."""

    def later(self, work: Callable[[WriteAccess], T]) -> "Future[T]":
        """Queue a piece of work as one unit; its answer comes once it is kept, in any thread."""


class KeyStore(Protocol):
    """The keys' own store. Its one reader is `services.tables.keys`, which asks the rules first."""

    def seal(self, table_id: str, key: Key) -> None:
        """Put a key away; a table has one for ever."""

    def open(self, table_id: str) -> Key:
        """Return a table's key; NotThere when there is none."""

    def open_all(self, table_ids: Collection[str]) -> Mapping[str, Key]:
        """Return the keys of tables by id; a table without one is left out."""
