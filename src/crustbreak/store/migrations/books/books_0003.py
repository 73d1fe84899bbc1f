"""The figure that decides, when it was moved; why a call was changed; which coffee is a control."""

import sqlalchemy as sa
from alembic import op

revision = "books_0003"
down_revision = "books_0002"


def upgrade() -> None:
    """Widen what is there."""
    op.add_column("events", sa.Column("figure", sa.Float, nullable=True))
    op.add_column("coffees", sa.Column("is_control", sa.Boolean, nullable=True))
    op.add_column("entries", sa.Column("reason", sa.Text, nullable=True))
