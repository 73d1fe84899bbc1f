"""What a host said beside a plan: of samples, roast, grind and day."""

import sqlalchemy as sa
from alembic import op

revision = "books_0010"
down_revision = "books_0009"


def upgrade() -> None:
    """Widen the tables."""
    op.add_column("tables", sa.Column("beside", sa.Text, nullable=True))
