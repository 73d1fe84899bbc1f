"""What a coffee costs and how much would be bought; the course; what a house says of itself."""

import sqlalchemy as sa
from alembic import op

from crustbreak.store.migrations.guards import guard

revision = "books_0004"
down_revision = "books_0003"


def upgrade() -> None:
    """Widen the coffees and make the houses."""
    op.add_column("coffees", sa.Column("price", sa.Float, nullable=True))
    op.add_column("coffees", sa.Column("kilos", sa.Float, nullable=True))
    op.add_column("tables", sa.Column("course", sa.Text, nullable=True))
    op.add_column("tables", sa.Column("first_round_s", sa.Integer, nullable=True))
    op.create_table(
        "houses",
        sa.Column("arrival", sa.Integer, nullable=False),
        sa.Column("since", sa.String(24), nullable=False),
        sa.Column("said", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("arrival", name="pk_houses"),
    )
    guard("houses")
