"""What the store raises, and how the database's own words become a message and a hint."""

from sqlalchemy.exc import DBAPIError

from crustbreak.core.errors import CrustbreakError, NotNow


class LabInUse(CrustbreakError):
    """Another process has this lab open for writing."""

    status = 409


class NewerLab(CrustbreakError):
    """The lab's file was written by a newer version of the software."""


class NotALab(CrustbreakError):
    """The file cannot be opened as a lab's file."""

    status = 500


class NotKept(CrustbreakError):
    """A piece of work is not on disk and nothing of it is left."""

    status = 503


class NotRead(CrustbreakError):
    """The disk or the file did not give what was asked for."""

    status = 503


class NotCopied(CrustbreakError):
    """A copy was not made or not put back, and everything is as it was."""


class Closed(CrustbreakError):
    """The records were closed before this was asked of them."""

    status = 503


class Clash(NotNow):
    """What was to be added is there already, or belongs to nothing that is there."""


# The first phrase that the database's own message contains decides the hint.
_HINTS = (
    ("full", "Make room on the disk, then give it once more."),
    ("locked", "Close any other program that has the lab's file open, then give it once more."),
    ("readonly", "Let the user who runs the lab write to its folder."),
    ("unable to open", "Look whether the lab's folder is still there and can be written to."),
    ("not a database", "Put the lab's own file back from a backup."),
    ("malformed", "The file is damaged: put it back from a backup."),
    ("I/O", "Look after the disk: it failed to write or to read."),
)
_ELSE = "Stop the lab, start it again, and look into its log if it stays so."


def database_words(error: DBAPIError) -> str:
    """Return what the database itself said, without the statement and what was in it."""
    return str(error.orig)


def hint_for(error: DBAPIError) -> str:
    """Return the next step for a failure of the disk or the file."""
    said = database_words(error)
    return next((hint for phrase, hint in _HINTS if phrase in said), _ELSE)


def not_kept(error: DBAPIError) -> NotKept:
    """Return in words that a write failed; what was answered before is not touched by it."""
    return NotKept(
        f"This could not be kept: {database_words(error)}.",
        hint=f"{hint_for(error)} What was kept before is safe.",
    )


def not_read(error: DBAPIError) -> NotRead:
    """Return in words that reading failed."""
    return NotRead(f"This could not be read: {database_words(error)}.", hint=hint_for(error))


def closed() -> Closed:
    """Return in words that the records are closed."""
    return Closed("The lab's books are closed.", hint="Start the lab, then give it once more.")
