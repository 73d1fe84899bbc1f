"""Which flight of a first look a table is."""

import sqlalchemy as sa
from alembic import op

revision = "books_0011"
down_revision = "books_0010"


def upgrade() -> None:
    """Widen the tables."""
    op.add_column("tables", sa.Column("first_look", sa.Text, nullable=True))
