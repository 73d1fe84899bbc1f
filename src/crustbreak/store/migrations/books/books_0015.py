"""How each table stands, for lists: which are open, which ended, and what a page asks for by."""

import json
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "books_0015"
down_revision = "books_0014"

# Act to how a table stands after it, as far as it is settled; marks that are let in open it again.
ENDED = {"decided": "decided", "abandoned": "abandoned", "admitted": ""}
INDEXES = (
    ("ended", "planned_at"),
    ("planned_at",),
    ("question", "planned_at"),
    ("sheet", "uncovered_at"),
    ("first_look",),
    ("follows",),
)


def upgrade() -> None:
    """Make the table and fill it from the acts."""
    states = op.create_table(
        "table_states",
        sa.Column("table_id", sa.Text, nullable=False),
        sa.Column("question", sa.Text, nullable=False),
        sa.Column("sheet", sa.Text, nullable=False),
        sa.Column("planned_at", sa.String(24), nullable=False),
        sa.Column("first_look", sa.Text, nullable=False),
        sa.Column("follows", sa.Text, nullable=False),
        sa.Column("ended", sa.Text, nullable=False),
        sa.Column("uncovered_at", sa.String(24), nullable=True),
        sa.PrimaryKeyConstraint("table_id", name="pk_table_states"),
        sa.ForeignKeyConstraint(["table_id"], ["tables.table_id"], name="fk_table_states_table_id"),
    )
    for columns in INDEXES:
        op.create_index(f"ix_table_states_{'_'.join(columns)}", "table_states", list(columns))
    rows = _rows(op.get_bind())
    if rows:
        op.bulk_insert(states, rows)


# What lists ask of a table, and what its acts say of how it stands.
TABLES = sa.text("SELECT table_id, question, sheet, planned_at, first_look, follows FROM tables")
ACTS = sa.text(
    "SELECT table_id, kind, at FROM events"
    " WHERE kind IN ('uncovered', 'decided', 'abandoned', 'admitted') ORDER BY number"
)


def _rows(connection: sa.Connection) -> list[dict[str, Any]]:
    tables = connection.execute(TABLES).mappings()
    rows = {each["table_id"]: {**each, **_fixed(each)} for each in tables}
    for table_id, kind, at in connection.execute(ACTS):
        row = rows[table_id]
        if kind in ENDED:
            row["ended"] = ENDED[kind]
        else:
            row["uncovered_at"] = row["uncovered_at"] or at
    return list(rows.values())


def _fixed(table: sa.RowMapping) -> dict[str, Any]:
    first_look = json.loads(table["first_look"] or "null")
    return {
        "first_look": first_look["id"] if first_look else "",
        "follows": table["follows"] or "",
        "ended": "",
        "uncovered_at": None,
    }
