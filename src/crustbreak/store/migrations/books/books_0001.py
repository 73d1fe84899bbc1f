"""The books as they began: planned tables, and what is said and done at them."""

import sqlalchemy as sa
from alembic import op

from crustbreak.store.migrations.guards import guard

revision = "books_0001"
down_revision = None

MOMENT = sa.String(24)


def upgrade() -> None:
    """Make the tables."""
    _planned()
    _set_up()
    _acts()
    _entries()
    _set_asides()
    for table in ("entries", "events", "joinings", "set_asides", "verdicts"):
        guard(table)


def _text(name: str, *, nullable: bool = False) -> sa.Column[str]:
    return sa.Column(name, sa.Text, nullable=nullable)


def _count(name: str, *, nullable: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.Integer, nullable=nullable)


def _long_count(name: str, *, nullable: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.BigInteger, nullable=nullable)


def _moment(name: str) -> sa.Column[str]:
    return sa.Column(name, MOMENT, nullable=False)


def _of_a_table(table: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(["table_id"], ["tables.table_id"], f"fk_{table}_table_id")


def _of_a_seat(table: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(
        ["table_id", "seat_id"],
        ["seats.table_id", "seats.seat_id"],
        f"fk_{table}_table_id_seat_id",
    )


def _planned() -> None:
    op.create_table(
        "tables",
        _text("table_id"),
        _moment("planned_at"),
        _text("question"),
        _text("sheet"),
        _text("occasion"),
        sa.Column("cut_off", sa.Float, nullable=False),
        _text("setter"),
        _text("recipe"),
        sa.PrimaryKeyConstraint("table_id", name="pk_tables"),
    )
    op.create_table(
        "flights",
        _text("table_id"),
        _text("flight_id"),
        _count("position"),
        sa.PrimaryKeyConstraint("table_id", "flight_id", name="pk_flights"),
        sa.UniqueConstraint("table_id", "position", name="uq_flights_table_id_position"),
        _of_a_table("flights"),
    )
    op.create_table(
        "places",
        _text("table_id"),
        _text("flight_id"),
        _text("place_id"),
        _count("position"),
        _text("code"),
        _count("cups"),
        sa.PrimaryKeyConstraint("table_id", "place_id", name="pk_places"),
        sa.ForeignKeyConstraint(
            ["table_id", "flight_id"],
            ["flights.table_id", "flights.flight_id"],
            "fk_places_table_id_flight_id",
        ),
        sa.UniqueConstraint(
            "table_id", "flight_id", "position", name="uq_places_table_id_flight_id_position"
        ),
    )


def _set_up() -> None:
    op.create_table(
        "seats",
        _text("seat_id"),
        _text("table_id"),
        _count("position"),
        _text("taster"),
        sa.PrimaryKeyConstraint("seat_id", name="pk_seats"),
        sa.UniqueConstraint("table_id", "seat_id", name="uq_seats_table_id_seat_id"),
        sa.UniqueConstraint("table_id", "position", name="uq_seats_table_id_position"),
        _of_a_table("seats"),
    )
    op.create_table(
        "coffees",
        _text("table_id"),
        _text("coffee_id"),
        _count("position"),
        _text("name"),
        sa.PrimaryKeyConstraint("table_id", "coffee_id", name="pk_coffees"),
        sa.UniqueConstraint("table_id", "position", name="uq_coffees_table_id_position"),
        _of_a_table("coffees"),
    )
    op.create_table(
        "invitations",
        _text("table_id"),
        _text("token"),
        sa.PrimaryKeyConstraint("table_id", name="pk_invitations"),
        sa.UniqueConstraint("token", name="uq_invitations_token"),
        _of_a_table("invitations"),
    )


def _acts() -> None:
    op.create_table(
        "events",
        _text("table_id"),
        _count("number"),
        _text("kind"),
        _moment("at"),
        _text("detail"),
        sa.PrimaryKeyConstraint("table_id", "number", name="pk_events"),
        _of_a_table("events"),
    )
    op.create_table(
        "joinings",
        _count("arrival"),
        _text("table_id"),
        _text("seat_id"),
        _long_count("grip"),
        _text("secret_hash"),
        _moment("joined_at"),
        sa.PrimaryKeyConstraint("arrival", name="pk_joinings"),
        sa.UniqueConstraint("seat_id", "grip", name="uq_joinings_seat_id_grip"),
        sa.UniqueConstraint("secret_hash", name="uq_joinings_secret_hash"),
        _of_a_seat("joinings"),
    )
    op.create_index("ix_joinings_table_id", "joinings", ["table_id"])
    op.create_table(
        "verdicts",
        _count("arrival"),
        _text("table_id"),
        _moment("decided_at"),
        _text("decided_by"),
        _text("record"),
        _text("digest"),
        sa.PrimaryKeyConstraint("arrival", name="pk_verdicts"),
        _of_a_table("verdicts"),
    )
    op.create_index("ix_verdicts_table_id", "verdicts", ["table_id"])


def _entries() -> None:
    op.create_table(
        "entries",
        _count("arrival"),
        _text("table_id"),
        _text("seat_id"),
        _text("entry_id"),
        _long_count("grip"),
        _long_count("no"),
        _text("kind"),
        _text("sheet"),
        _text("place_id", nullable=True),
        _long_count("cup", nullable=True),
        _text("line", nullable=True),
        _text("round", nullable=True),
        _text("value"),
        _moment("device_time"),
        _moment("received_at"),
        _text("digest"),
        sa.Column("late", sa.Boolean, nullable=False),
        sa.PrimaryKeyConstraint("arrival", name="pk_entries"),
        sa.UniqueConstraint("entry_id", name="uq_entries_entry_id"),
        sa.UniqueConstraint("seat_id", "grip", "no", name="uq_entries_seat_id_grip_no"),
        _of_a_seat("entries"),
    )
    op.create_index("ix_entries_table_id", "entries", ["table_id"])


def _set_asides() -> None:
    op.create_table(
        "set_asides",
        _count("arrival"),
        _text("table_id"),
        _text("seat_id"),
        _text("body"),
        _text("digest"),
        _text("rule"),
        _text("remedy"),
        _moment("received_at"),
        sa.PrimaryKeyConstraint("arrival", name="pk_set_asides"),
        sa.UniqueConstraint("seat_id", "digest", name="uq_set_asides_seat_id_digest"),
        _of_a_seat("set_asides"),
    )
    op.create_index("ix_set_asides_table_id", "set_asides", ["table_id"])
