"""A key says of which site it is."""

import sqlalchemy as sa
from alembic import op

revision = "keys_0002"
down_revision = "keys_0001"


def upgrade() -> None:
    """Make the column."""
    op.add_column("keys", sa.Column("site", sa.Text, nullable=False, server_default="home"))
