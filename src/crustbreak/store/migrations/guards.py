"""Guards by which the database itself refuses to change or to drop a row."""

from alembic import op


def guard(table: str) -> None:
    """Let rows be added to a table, and nothing else.

    For SQLite; a server's database does the same by what its user is granted.
    """
    if op.get_context().dialect.name != "sqlite":
        return
    for act in ("UPDATE", "DELETE"):
        op.execute(
            f"CREATE TRIGGER {table}_no_{act.lower()} BEFORE {act} ON {table} "
            f"BEGIN SELECT RAISE(ABORT, '{table} are only ever added'); END"
        )
