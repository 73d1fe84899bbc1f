"""One kind of row for all that is written down; and every row bears the site that it is of."""

import json
from typing import Any

import sqlalchemy as sa
from alembic import op

from crustbreak.store.migrations.guards import guard

revision = "books_0016"
down_revision = "books_0015"

TABLES = (
    *("tables", "flights", "places", "seats", "coffees", "trays", "invitations", "events"),
    *("joinings", "entries", "set_asides", "verdicts", "codes", "passes", "helpers", "taps"),
    *("incarnations", "host_devices", "table_states"),
)
# Table to its documents' subject, and the columns that were beside the JSON.
WERE = {
    "houses": ("lab settings", ()),
    "bowls": ("measured bowl", ("kind", "since")),
    "protocols": ("protocol", ("id", "version")),
    "physicals": ("physicals", ()),
    "claims": ("claim", ()),
}
ABOUT = {"bowls": "kind", "protocols": "id", "physicals": "table_id", "claims": "table_id"}


def upgrade() -> None:
    """Make the table, copy what was written down, and say of which site each row is."""
    documents = op.create_table(
        "documents",
        sa.Column("arrival", sa.Integer, nullable=False),
        sa.Column("subject", sa.Text, nullable=False),
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("since", sa.String(24), nullable=False),
        sa.Column("data", sa.Text, nullable=False),
        sa.Column("site", sa.Text, nullable=False, server_default="home"),
        sa.PrimaryKeyConstraint("arrival", name="pk_documents"),
    )
    op.create_index("ix_documents_subject_id", "documents", ["subject", "id"])
    for table in WERE:
        rows = [_document(table, row) for row in _all(table)]
        if rows:
            op.bulk_insert(documents, rows)
        op.drop_table(table)
    guard("documents")
    for table in TABLES:
        op.add_column(table, sa.Column("site", sa.Text, nullable=False, server_default="home"))


def _all(table: str) -> list[sa.RowMapping]:
    query = sa.text(f"SELECT * FROM {table} ORDER BY arrival")  # noqa: S608
    return list(op.get_bind().execute(query).mappings())


def _document(table: str, row: sa.RowMapping) -> dict[str, Any]:
    subject, beside = WERE[table]
    data = {**json.loads(row["said"]), **{name: row[name] for name in beside}}
    return {
        "subject": subject,
        "id": row[ABOUT[table]] if table in ABOUT else "",
        "since": row["since"],
        "data": json.dumps(data),
    }
