"""What is written down beside a table: physicals, and a claim."""

import sqlalchemy as sa
from alembic import op

from crustbreak.store.migrations.guards import guard

revision = "books_0013"
down_revision = "books_0012"


def upgrade() -> None:
    """Make the two tables."""
    for name in ("physicals", "claims"):
        op.create_table(
            name,
            sa.Column("arrival", sa.Integer, nullable=False),
            sa.Column("table_id", sa.Text, nullable=False),
            sa.Column("since", sa.String(24), nullable=False),
            sa.Column("said", sa.Text, nullable=False),
            sa.PrimaryKeyConstraint("arrival", name=f"pk_{name}"),
            sa.ForeignKeyConstraint(["table_id"], ["tables.table_id"], name=f"fk_{name}_table_id"),
        )
        op.create_index(f"ix_{name}_table_id", name, ["table_id"])
        guard(name)
