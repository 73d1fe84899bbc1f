"""What a thermometer found of a house's bowls."""

import sqlalchemy as sa
from alembic import op

from crustbreak.store.migrations.guards import guard

revision = "books_0007"
down_revision = "books_0006"


def upgrade() -> None:
    """Make the measured bowls."""
    op.create_table(
        "bowls",
        sa.Column("arrival", sa.Integer, nullable=False),
        sa.Column("since", sa.String(24), nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("said", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("arrival", name="pk_bowls"),
    )
    guard("bowls")
