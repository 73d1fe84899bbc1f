"""What is kept, as tables.

Two files: the records, and the keys, which tell what stands under a code and are therefore
apart. In the records a planned table is written once with all that belongs to it; entries,
set-asides, joinings, events and verdicts are only ever added, and `arrival` counts them. What
`table_states` says follows from them.
"""

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    Float,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    MetaData,
    PrimaryKeyConstraint,
    Table,
    UniqueConstraint,
)

from crustbreak.store.columns import Json, Utc, Words

_NAMES = {
    "pk": "pk_%(table_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
}

BOOKS = MetaData(naming_convention=_NAMES)
KEYS = MetaData(naming_convention=_NAMES)

# The site of a lab that has one.
HOME = "home"

# The database itself refuses to change or to drop a row of these.
ONLY_ADDED = (
    *("entries", "events", "joinings", "set_asides", "verdicts"),
    *("codes", "passes", "helpers", "taps", "incarnations", "host_devices", "documents"),
)


def _of_a_table() -> Column[str]:
    return Column("table_id", Words, ForeignKey("tables.table_id"), nullable=False)


def _of_a_seat() -> tuple[Column[str], Column[str], ForeignKeyConstraint]:
    # Both columns in one key: nothing is ever said from a seat of another table.
    return (
        Column("table_id", Words, nullable=False),
        Column("seat_id", Words, nullable=False),
        ForeignKeyConstraint(["table_id", "seat_id"], ["seats.table_id", "seats.seat_id"]),
    )


def _arrival() -> Column[int]:
    return Column("arrival", Integer, primary_key=True)


tables = Table(
    "tables",
    BOOKS,
    Column("table_id", Words, primary_key=True),
    Column("planned_at", Utc, nullable=False),
    Column("question", Words, nullable=False),
    Column("sheet", Words, nullable=False),
    Column("occasion", Words, nullable=False),
    Column("cut_off", Float, nullable=False),
    Column("setter", Words, nullable=False),
    Column("recipe", Json, nullable=False),
    Column("course", Json),
    Column("first_round_s", Integer),
    Column("is_numbered", Boolean),
    Column("beside", Json),
    Column("first_look", Json),
    Column("certainty", Float),
    Column("asked", Json),
    Column("follows", Words),
)

# How each table stands, as far as lists go: worked out from its acts with every act, so that no
# list reads the acts of years. It may be made anew from them at any time.
table_states = Table(
    "table_states",
    BOOKS,
    Column("table_id", Words, ForeignKey("tables.table_id"), primary_key=True),
    Column("question", Words, nullable=False),
    Column("sheet", Words, nullable=False),
    Column("planned_at", Utc, nullable=False),
    Column("first_look", Words, nullable=False),
    Column("follows", Words, nullable=False),
    Column("ended", Words, nullable=False),
    Column("uncovered_at", Utc),
    Index(None, "ended", "planned_at"),
    Index(None, "planned_at"),
    Index(None, "question", "planned_at"),
    Index(None, "sheet", "uncovered_at"),
    Index(None, "first_look"),
    Index(None, "follows"),
)

flights = Table(
    "flights",
    BOOKS,
    _of_a_table(),
    Column("flight_id", Words, nullable=False),
    Column("position", Integer, nullable=False),
    PrimaryKeyConstraint("table_id", "flight_id"),
    UniqueConstraint("table_id", "position"),
)

places = Table(
    "places",
    BOOKS,
    Column("table_id", Words, nullable=False),
    Column("flight_id", Words, nullable=False),
    Column("place_id", Words, nullable=False),
    Column("position", Integer, nullable=False),
    Column("code", Words, nullable=False),
    Column("cups", Integer, nullable=False),
    Column("is_open", Boolean),
    PrimaryKeyConstraint("table_id", "place_id"),
    ForeignKeyConstraint(["table_id", "flight_id"], ["flights.table_id", "flights.flight_id"]),
    UniqueConstraint("table_id", "flight_id", "position"),
)

seats = Table(
    "seats",
    BOOKS,
    Column("seat_id", Words, primary_key=True),
    _of_a_table(),
    Column("position", Integer, nullable=False),
    Column("taster", Words, nullable=False),
    Column("walk", Json),
    UniqueConstraint("table_id", "seat_id"),
    UniqueConstraint("table_id", "position"),
)

coffees = Table(
    "coffees",
    BOOKS,
    _of_a_table(),
    Column("coffee_id", Words, nullable=False),
    Column("position", Integer, nullable=False),
    Column("name", Words, nullable=False),
    Column("is_control", Boolean),
    Column("price", Float),
    Column("kilos", Float),
    Column("order_class", Integer),
    PrimaryKeyConstraint("table_id", "coffee_id"),
    UniqueConstraint("table_id", "position"),
)

numbered_bowls = Table(
    "trays",
    BOOKS,
    _of_a_table(),
    Column("position", Integer, nullable=False),
    Column("coffee_id", Words, nullable=False),
    Column("bowls", Json, nullable=False),
    Column("order_class", Integer, nullable=False),
    PrimaryKeyConstraint("table_id", "position"),
    ForeignKeyConstraint(["table_id", "coffee_id"], ["coffees.table_id", "coffees.coffee_id"]),
)

invitations = Table(
    "invitations",
    BOOKS,
    Column("table_id", Words, ForeignKey("tables.table_id"), primary_key=True),
    Column("token", Words, nullable=False),
    UniqueConstraint("token"),
)

events = Table(
    "events",
    BOOKS,
    _of_a_table(),
    Column("number", Integer, nullable=False),
    Column("kind", Words, nullable=False),
    Column("at", Utc, nullable=False),
    Column("detail", Words, nullable=False),
    Column("seat_id", Words),
    Column("grip", BigInteger),
    Column("arrival", BigInteger),
    Column("figure", Float),
    Column("readings", Json),
    Column("place_id", Words),
    Column("cup", BigInteger),
    Column("no", BigInteger),
    PrimaryKeyConstraint("table_id", "number"),
)

joinings = Table(
    "joinings",
    BOOKS,
    _arrival(),
    *_of_a_seat(),
    Column("grip", BigInteger, nullable=False),
    Column("secret_hash", Words, nullable=False),
    Column("joined_at", Utc, nullable=False),
    Column("token", Words),
    UniqueConstraint("seat_id", "grip"),
    UniqueConstraint("secret_hash"),
    Index(None, "table_id"),
)

entries = Table(
    "entries",
    BOOKS,
    _arrival(),
    *_of_a_seat(),
    Column("entry_id", Words, nullable=False),
    Column("grip", BigInteger, nullable=False),
    Column("no", BigInteger, nullable=False),
    Column("kind", Words, nullable=False),
    Column("sheet", Words, nullable=False),
    Column("place_id", Words),
    Column("cup", BigInteger),
    Column("line", Words),
    Column("round", Words),
    Column("value", Json, nullable=False),
    Column("device_time", Utc, nullable=False),
    Column("received_at", Utc, nullable=False),
    Column("digest", Words, nullable=False),
    Column("late", Boolean, nullable=False),
    Column("offset_ms", Float),
    Column("reason", Words),
    UniqueConstraint("entry_id"),
    UniqueConstraint("seat_id", "grip", "no"),
    Index(None, "table_id"),
)

set_asides = Table(
    "set_asides",
    BOOKS,
    _arrival(),
    *_of_a_seat(),
    Column("body", Words, nullable=False),
    Column("digest", Words, nullable=False),
    Column("rule", Words, nullable=False),
    Column("remedy", Words, nullable=False),
    Column("received_at", Utc, nullable=False),
    Column("grip", BigInteger),
    Column("no", BigInteger),
    UniqueConstraint("seat_id", "digest"),
    Index(None, "table_id"),
)

verdicts = Table(
    "verdicts",
    BOOKS,
    _arrival(),
    _of_a_table(),
    Column("decided_at", Utc, nullable=False),
    Column("decided_by", Words, nullable=False),
    Column("record", Words, nullable=False),
    Column("digest", Words, nullable=False),
    Index(None, "table_id"),
)

codes = Table(
    "codes",
    BOOKS,
    _arrival(),
    _of_a_table(),
    Column("code", Words, nullable=False),
    Column("made_at", Utc, nullable=False),
    Index(None, "table_id"),
)

passes = Table(
    "passes",
    BOOKS,
    _arrival(),
    _of_a_table(),
    Column("seat_id", Words),
    Column("token", Words, nullable=False),
    Column("code", Words, nullable=False),
    Column("made_at", Utc, nullable=False),
    UniqueConstraint("token"),
    Index(None, "table_id"),
)

helpers = Table(
    "helpers",
    BOOKS,
    _arrival(),
    _of_a_table(),
    Column("grip", BigInteger, nullable=False),
    Column("secret_hash", Words, nullable=False),
    Column("joined_at", Utc, nullable=False),
    Column("token", Words, nullable=False),
    UniqueConstraint("table_id", "grip"),
    UniqueConstraint("secret_hash"),
)

taps = Table(
    "taps",
    BOOKS,
    _arrival(),
    _of_a_table(),
    Column("id", Words, nullable=False),
    Column("grip", BigInteger, nullable=False),
    Column("no", BigInteger, nullable=False),
    Column("kind", Words, nullable=False),
    Column("value", Words),
    Column("device_time", Utc, nullable=False),
    Column("received_at", Utc, nullable=False),
    Column("digest", Words, nullable=False),
    Column("rule", Words, nullable=False),
    Column("remedy", Words, nullable=False),
    Column("place_id", Words),
    Column("cup", BigInteger),
    UniqueConstraint("id"),
    UniqueConstraint("table_id", "grip", "no"),
)

incarnations = Table(
    "incarnations",
    BOOKS,
    _arrival(),
    Column("incarnation", Words, nullable=False),
    Column("since", Utc, nullable=False),
    Column("reason", Words, nullable=False),
)

host_devices = Table(
    "host_devices",
    BOOKS,
    _arrival(),
    Column("secret_hash", Words, nullable=False),
    Column("since", Utc, nullable=False),
    UniqueConstraint("secret_hash"),
)

# What is written down and superseded by a later row of the same subject and id.
documents = Table(
    "documents",
    BOOKS,
    _arrival(),
    Column("subject", Words, nullable=False),
    Column("id", Words, nullable=False),
    Column("since", Utc, nullable=False),
    Column("data", Json, nullable=False),
    Index(None, "subject", "id"),
)

keys = Table(
    "keys",
    KEYS,
    Column("table_id", Words, primary_key=True),
    Column("coffee_of", Json, nullable=False),
    Column("seed", Words, nullable=False),
)

# Every row is of one lab, so that several can share a database.
for _table in (*BOOKS.tables.values(), keys):
    _table.append_column(Column("site", Words, nullable=False, server_default=HOME))
