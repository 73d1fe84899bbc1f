"""What a table was asked beside the figure that decides, as one value."""

import sqlalchemy as sa
from alembic import op

revision = "books_0014"
down_revision = "books_0013"


def upgrade() -> None:
    """Make the column; an older table keeps how sure in the one it has."""
    op.add_column("tables", sa.Column("asked", sa.Text, nullable=True))
