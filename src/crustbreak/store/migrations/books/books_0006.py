"""Numbered bowls: what goes into which, and what was read under them."""

import sqlalchemy as sa
from alembic import op

revision = "books_0006"
down_revision = "books_0005"


def upgrade() -> None:
    """Widen tables and events, and make the trays."""
    op.add_column("tables", sa.Column("is_numbered", sa.Boolean, nullable=True))
    op.add_column("events", sa.Column("readings", sa.Text, nullable=True))
    op.create_table(
        "trays",
        sa.Column("table_id", sa.Text, nullable=False),
        sa.Column("position", sa.Integer, nullable=False),
        sa.Column("coffee_id", sa.Text, nullable=False),
        sa.Column("bowls", sa.Text, nullable=False),
        sa.Column("order_class", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("table_id", "position", name="pk_trays"),
        sa.ForeignKeyConstraint(["table_id"], ["tables.table_id"], name="fk_trays_table_id"),
        sa.ForeignKeyConstraint(
            ["table_id", "coffee_id"],
            ["coffees.table_id", "coffees.coffee_id"],
            name="fk_trays_table_id_coffee_id",
        ),
    )
