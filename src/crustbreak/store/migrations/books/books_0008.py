"""Protocols of a house's own."""

import sqlalchemy as sa
from alembic import op

from crustbreak.store.migrations.guards import guard

revision = "books_0008"
down_revision = "books_0007"


def upgrade() -> None:
    """Make the protocols."""
    op.create_table(
        "protocols",
        sa.Column("arrival", sa.Integer, nullable=False),
        sa.Column("since", sa.String(24), nullable=False),
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("said", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("arrival", name="pk_protocols"),
        sa.UniqueConstraint("id", "version", name="uq_protocols_id_version"),
    )
    guard("protocols")
