"""The key box as it began."""

import sqlalchemy as sa
from alembic import op

from crustbreak.store.migrations.guards import guard

revision = "keys_0001"
down_revision = None


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "keys",
        sa.Column("table_id", sa.Text, nullable=False),
        sa.Column("coffee_of", sa.Text, nullable=False),
        sa.Column("seed", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("table_id", name="pk_keys"),
    )
    guard("keys")
