"""A bowl that stands open, how sure an answer is to be, and the table to whose answer one adds."""

import sqlalchemy as sa
from alembic import op

revision = "books_0012"
down_revision = "books_0011"


def upgrade() -> None:
    """Widen the tables."""
    op.add_column("places", sa.Column("is_open", sa.Boolean, nullable=True))
    op.add_column("tables", sa.Column("certainty", sa.Float, nullable=True))
    op.add_column("tables", sa.Column("follows", sa.Text, nullable=True))
