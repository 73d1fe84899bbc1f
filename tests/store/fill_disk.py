"""Let the disk refuse in the middle of a commit, then give it room again; tell how it went.

Run by a test, since the limit holds for a whole process: python fill_disk.py FOLDER
"""

import resource
import sys
from pathlib import Path
from threading import Barrier, Thread

from crustbreak.core.errors import CrustbreakError
from crustbreak.ports.repository import WriteAccess
from crustbreak.store.repository import SqliteRepository, open_repository
from crustbreak.store.system_clock import SystemClock

WRITERS = 6


def limit_files(size: int) -> None:
    hard = resource.getrlimit(resource.RLIMIT_FSIZE)[1]
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))


def add_event(repository: SqliteRepository, detail: str) -> str:
    def work(writing: WriteAccess) -> None:
        writing.add_event("table-1", "undone", at=SystemClock().now(), detail=detail)

    try:
        repository.write(work)
    except CrustbreakError as error:
        return f"{type(error).__name__}: {error.message} {error.hint}"
    return "kept"


def tell(text: str) -> None:
    sys.stdout.write(f"{text}\n")


def main(folder: Path) -> None:
    with open_repository(folder) as repository:
        tell(add_event(repository, "before"))
        log = folder / "lab.db-wal"
        # Room for a page or two: the pages of a commit go to the log, and do not fit.
        limit_files(log.stat().st_size + 6_000)
        together = Barrier(WRITERS)

        def write(number: int) -> None:
            together.wait()
            tell(add_event(repository, f"{number}" * 50_000))

        threads = [Thread(target=write, args=(number,)) for number in range(WRITERS)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        limit_files(resource.RLIM_INFINITY)
        tell(add_event(repository, "after"))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
