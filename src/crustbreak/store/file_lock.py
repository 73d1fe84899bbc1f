"""A lock that one process holds on a file, and that its death lets go."""

import sys
from pathlib import Path
from typing import BinaryIO

from crustbreak.store.errors import LabInUse

if sys.platform == "win32":
    import msvcrt

    def _take(file: BinaryIO) -> None:
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _take(file: BinaryIO) -> None:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)


class Lock:
    """Held from making to `release`.

    The file stays when the lock is gone: taking it away would let two processes hold locks on
    two files of one name.
    """

    def __init__(self, path: Path) -> None:
        """Take the lock; LabInUse when somebody else has it."""
        self._file = path.open("ab")
        try:
            _take(self._file)
        except (BlockingIOError, PermissionError) as error:
            self._file.close()
            raise LabInUse(
                "This lab is open in another program.",
                hint="Use that one, or close it and start again.",
            ) from error

    def release(self) -> None:
        """Let the lock go."""
        self._file.close()
