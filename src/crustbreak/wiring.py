"""Everything is built here, and only here is the store known.

To ask a new kind of question, write its folder and add its plugin to `SHIPPED`.
"""

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from crustbreak.ports.clock import Clock, Randomness
from crustbreak.ports.lab import Lab
from crustbreak.ports.question_plugin import QuestionPlugin
from crustbreak.ports.repository import KeyStore, Repository
from crustbreak.questions.choose.plugin import CHOOSE_PLUGIN
from crustbreak.questions.match.plugin import MATCH_PLUGIN
from crustbreak.services.devices.guess_limit import MemoryGuessLimit
from crustbreak.services.devices.presence import MemoryPresence
from crustbreak.services.lab.cache import MemoryCache
from crustbreak.services.lab.identity import renew_incarnation, start_incarnation
from crustbreak.services.lab.restore import demand_no_open_table
from crustbreak.services.tables.notifier import ThreadNotifier
from crustbreak.store.backup import check_copy, copy_lab, has_lab, held_files, put_back
from crustbreak.store.definitions import SHIPPED_DATA, FileDefinitions
from crustbreak.store.errors import NotALab, NotRead
from crustbreak.store.key_store import open_key_store
from crustbreak.store.repository import open_repository
from crustbreak.store.system_clock import SystemClock, SystemRandomness

SHIPPED: tuple[QuestionPlugin, ...] = (CHOOSE_PLUGIN, MATCH_PLUGIN)


@contextmanager
def open_lab(
    folder: Path,
    *,
    name: str,
    plugins: tuple[QuestionPlugin, ...] = SHIPPED,
    definitions: tuple[Path, ...] = (),
    clock: Clock | None = None,
    randomness: Randomness | None = None,
) -> Iterator[Lab]:
    """Open the lab kept in a folder, and close it again.

    Args:  definitions: further folders like `data`. clock, randomness: for a test or a rehearsal.
    """
    at, chance = clock or SystemClock(), randomness or SystemRandomness()
    with open_repository(folder) as repository, open_key_store(folder) as keys:
        yield _lab(
            (repository, keys, at, chance),
            name=name,
            definitions=FileDefinitions((SHIPPED_DATA, *definitions)),
            plugins={plugin.question.id: plugin for plugin in plugins},
        )


def back_up(folder: Path, into: Path) -> int:
    """Copy the lab in a folder, open or not, into a new one; give how many tables the copy holds.

    Raises:  NotALab or NotCopied; then no copy is there.
    """
    return copy_lab(folder, into)


def restore(
    folder: Path, copy: Path, *, clock: Clock | None = None, randomness: Randomness | None = None
) -> tuple[int, Path | None]:
    """Put a copy in the place of the lab in a folder, and let it begin a new life.

    Returns: how many tables it holds, and where the files went that were there.
    Raises:  NotNow while a table is open, LabInUse while the lab is; NotALab, NewerLab or
             NotCopied for a copy or a disk that is of no use. All is as it was then.
    """
    at, chance = clock or SystemClock(), randomness or SystemRandomness()

    def renew(ready: Path) -> None:
        # Before it is the lab: no phone may take the copy for the lab that it was told by.
        with open_repository(ready) as repository, open_key_store(ready):
            renew_incarnation(repository, at, chance, reason="restored")

    tables = check_copy(copy)
    with held_files(folder):
        if has_lab(folder):
            _demand_nothing_open(folder, at, chance)
        return tables, put_back(folder, copy, at=at.now(), renew=renew)


def _demand_nothing_open(folder: Path, at: Clock, chance: Randomness) -> None:
    # At a lab that cannot be opened or read nobody tastes, and it is what copies are for.
    with (
        suppress(NotALab, NotRead),
        open_repository(folder, locked=True) as repository,
        open_key_store(folder, locked=True) as keys,
    ):
        lab = _lab(
            (repository, keys, at, chance),
            name="",
            definitions=FileDefinitions((SHIPPED_DATA,)),
            plugins={plugin.question.id: plugin for plugin in SHIPPED},
        )
        demand_no_open_table(lab)


def _lab(kept: tuple[Repository, KeyStore, Clock, Randomness], **known: Any) -> Lab:
    repository, keys, at, chance = kept
    return Lab(
        incarnation=start_incarnation(repository, at, chance),
        repository=repository,
        keys=keys,
        clock=at,
        randomness=chance,
        presence=MemoryPresence(),
        cache=MemoryCache(),
        guesses=MemoryGuessLimit(),
        notifier=ThreadNotifier(),
        **known,
    )
