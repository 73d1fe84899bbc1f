"""Run steps on the connection, and inside the transaction, that the opening handed over."""

from alembic import context

context.configure(connection=context.config.attributes["connection"])
context.run_migrations()
