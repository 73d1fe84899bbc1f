"""In which order each taster goes along the places, and in which class a coffee stands."""

import sqlalchemy as sa
from alembic import op

revision = "books_0005"
down_revision = "books_0004"


def upgrade() -> None:
    """Widen the seats and the coffees."""
    op.add_column("seats", sa.Column("walk", sa.Text, nullable=True))
    op.add_column("coffees", sa.Column("order_class", sa.Integer, nullable=True))
