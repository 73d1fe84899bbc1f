"""Several devices at a seat, helpers, typed codes, host's browsers, and the lab's own lives."""

import sqlalchemy as sa
from alembic import op

from crustbreak.store.migrations.guards import guard

revision = "books_0002"
down_revision = "books_0001"

MOMENT = sa.String(24)


def upgrade() -> None:
    """Widen what is there and make the new tables."""
    _widen()
    _codes()
    _passes()
    _helpers()
    _lives()
    for table in ("codes", "passes", "helpers", "taps", "incarnations", "host_devices"):
        guard(table)


def _text(name: str, *, nullable: bool = False) -> sa.Column[str]:
    return sa.Column(name, sa.Text, nullable=nullable)


def _long_count(name: str, *, nullable: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.BigInteger, nullable=nullable)


def _moment(name: str) -> sa.Column[str]:
    return sa.Column(name, MOMENT, nullable=False)


def _arrival() -> sa.Column[int]:
    return sa.Column("arrival", sa.Integer, nullable=False)


def _of_a_table(name: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(
        ["table_id"], ["tables.table_id"], name=f"fk_{name}_table_id_tables"
    )


def _widen() -> None:
    op.add_column("events", _text("seat_id", nullable=True))
    op.add_column("events", _long_count("grip", nullable=True))
    op.add_column("events", _long_count("arrival", nullable=True))
    op.add_column("entries", sa.Column("offset_ms", sa.Float, nullable=True))
    op.add_column("set_asides", _long_count("grip", nullable=True))
    op.add_column("set_asides", _long_count("no", nullable=True))
    op.add_column("joinings", _text("token", nullable=True))


def _codes() -> None:
    op.create_table(
        "codes",
        _arrival(),
        _text("table_id"),
        _text("code"),
        _moment("made_at"),
        sa.PrimaryKeyConstraint("arrival", name="pk_codes"),
        _of_a_table("codes"),
    )
    op.create_index("ix_codes_table_id", "codes", ["table_id"])


def _passes() -> None:
    op.create_table(
        "passes",
        _arrival(),
        _text("table_id"),
        _text("seat_id", nullable=True),
        _text("token"),
        _text("code"),
        _moment("made_at"),
        sa.PrimaryKeyConstraint("arrival", name="pk_passes"),
        sa.UniqueConstraint("token", name="uq_passes_token"),
        _of_a_table("passes"),
    )
    op.create_index("ix_passes_table_id", "passes", ["table_id"])


def _helpers() -> None:
    op.create_table(
        "helpers",
        _arrival(),
        _text("table_id"),
        _long_count("grip"),
        _text("secret_hash"),
        _moment("joined_at"),
        _text("token"),
        sa.PrimaryKeyConstraint("arrival", name="pk_helpers"),
        sa.UniqueConstraint("table_id", "grip", name="uq_helpers_table_id_grip"),
        sa.UniqueConstraint("secret_hash", name="uq_helpers_secret_hash"),
        _of_a_table("helpers"),
    )
    op.create_table(
        "taps",
        _arrival(),
        _text("table_id"),
        _text("id"),
        _long_count("grip"),
        _long_count("no"),
        _text("kind"),
        _text("value", nullable=True),
        _moment("device_time"),
        _moment("received_at"),
        _text("digest"),
        _text("rule"),
        _text("remedy"),
        sa.PrimaryKeyConstraint("arrival", name="pk_taps"),
        sa.UniqueConstraint("id", name="uq_taps_id"),
        sa.UniqueConstraint("table_id", "grip", "no", name="uq_taps_table_id_grip_no"),
        _of_a_table("taps"),
    )


def _lives() -> None:
    op.create_table(
        "incarnations",
        _arrival(),
        _text("incarnation"),
        _moment("since"),
        _text("reason"),
        sa.PrimaryKeyConstraint("arrival", name="pk_incarnations"),
    )
    op.create_table(
        "host_devices",
        _arrival(),
        _text("secret_hash"),
        _moment("since"),
        sa.PrimaryKeyConstraint("arrival", name="pk_host_devices"),
        sa.UniqueConstraint("secret_hash", name="uq_host_devices_secret_hash"),
    )
