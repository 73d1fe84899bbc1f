"""Bring a file to the schema of this version, at opening and in one transaction.

Each file has a line of steps of its own under `migrations`. A step, once released, is never
changed: the next one goes on from it.
"""

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError

from crustbreak.store.errors import NewerLab, NotALab, database_words, hint_for

BOOKS_LINE = "books"
KEYS_LINE = "keys"

_HOME = "crustbreak.store:migrations"


def bring_up(engine: Engine, line: str) -> None:
    """Run the steps of a line that the file has not seen.

    Raises:  NewerLab, for a file that knows steps which this version does not; NotALab, for
             one that cannot be brought up. The file is then as it was.
    """
    try:
        with engine.connect() as connection, connection.begin():
            _upgrade(connection, line)
    except DBAPIError as error:
        raise NotALab(
            f"The lab's file of {line} cannot be opened: {database_words(error)}.",
            hint=hint_for(error),
        ) from error


def _upgrade(connection: Connection, line: str) -> None:
    config = _config(connection, line)
    script = ScriptDirectory.from_config(config)
    reached = set(MigrationContext.configure(connection).get_current_heads())
    if reached == set(script.get_heads()):
        return
    if reached - {step.revision for step in script.walk_revisions()}:
        raise NewerLab(
            f"The lab's file of {line} was written by a newer version of Crustbreak.",
            hint="Install that version or a later one; this one leaves the file as it is.",
        )
    command.upgrade(config, "head")


def _config(connection: Connection, line: str) -> Config:
    config = Config()
    config.set_main_option("script_location", _HOME)
    config.set_main_option("version_locations", f"{_HOME}/{line}")
    # The default separators occur in the location itself.
    config.set_main_option("path_separator", "newline")
    config.attributes["connection"] = connection
    return config
