"""Which bowl an act or a helper's tap is about, and the number of a helper's fact."""

import sqlalchemy as sa
from alembic import op

revision = "books_0009"
down_revision = "books_0008"


def upgrade() -> None:
    """Widen the events and the taps."""
    op.add_column("events", sa.Column("place_id", sa.Text, nullable=True))
    op.add_column("events", sa.Column("cup", sa.BigInteger, nullable=True))
    op.add_column("events", sa.Column("no", sa.BigInteger, nullable=True))
    op.add_column("taps", sa.Column("place_id", sa.Text, nullable=True))
    op.add_column("taps", sa.Column("cup", sa.BigInteger, nullable=True))
