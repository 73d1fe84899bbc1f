"""Everything is built here, and only here is the store known.

To ask a new kind of question, write its one file on each floor and add its line to `SHIPPED`.
"""

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from crustbreak.ports.clock import Clock, Dice
from crustbreak.ports.lab import Lab
from crustbreak.ports.question_plugin import Kit
from crustbreak.ports.repository import Books, KeyBox
from crustbreak.questions.choose.definition import CHOOSE
from crustbreak.questions.choose.document import choice_memo, show_choice
from crustbreak.questions.choose.evidence import weigh_choice
from crustbreak.questions.match.definition import MATCH
from crustbreak.questions.match.document import approval_note, show_match
from crustbreak.questions.match.evidence import weigh_match
from crustbreak.questions.match.forecast import foretell_match
from crustbreak.services.devices.guess_limit import MemoryGuessLimit
from crustbreak.services.devices.presence import MemoryPresence
from crustbreak.services.lab.cache import MemoryCache
from crustbreak.services.lab.identity import begin_again, begin_life
from crustbreak.services.lab.restore import demand_no_open_table
from crustbreak.services.tables.notifier import ThreadNotifier
from crustbreak.store.backup import check_copy, copy_lab, has_lab, held_files, put_back
from crustbreak.store.definitions import SHIPPED_DATA, FileDefinitions
from crustbreak.store.errors import NotALab, NotRead
from crustbreak.store.key_store import open_key_box
from crustbreak.store.repository import open_books
from crustbreak.store.system_clock import SystemClock, SystemDice

SHIPPED: tuple[Kit, ...] = (
    Kit(CHOOSE, weigh_choice, show_choice, choice_memo),
    Kit(MATCH, weigh_match, show_match, approval_note, foretell_match),
)


@contextmanager
def open_lab(
    folder: Path,
    *,
    name: str,
    kits: tuple[Kit, ...] = SHIPPED,
    definitions: tuple[Path, ...] = (),
    clock: Clock | None = None,
    dice: Dice | None = None,
) -> Iterator[Lab]:
    """Open the lab kept in a folder, and close it again.

    Args:  definitions: further folders like `data`. clock, dice: for a test or a rehearsal.
    """
    at, chance = clock or SystemClock(), dice or SystemDice()
    with open_books(folder) as books, open_key_box(folder) as keys:
        yield _lab(
            (books, keys, at, chance),
            name=name,
            definitions=FileDefinitions((SHIPPED_DATA, *definitions)),
            kits={kit.question.id: kit for kit in kits},
        )


def back_up(folder: Path, into: Path) -> int:
    """Copy the lab in a folder, open or not, into a new one; give how many tables the copy holds.

    Raises:  NotALab or NotCopied; then no copy is there.
    """
    return copy_lab(folder, into)


def restore(
    folder: Path, copy: Path, *, clock: Clock | None = None, dice: Dice | None = None
) -> tuple[int, Path | None]:
    """Put a copy in the place of the lab in a folder, and let it begin a new life.

    Returns: how many tables it holds, and where the files went that were there.
    Raises:  NotNow while a table is open, LabInUse while the lab is; NotALab, NewerLab or
             NotCopied for a copy or a disk that is of no use. All is as it was then.
    """
    at, chance = clock or SystemClock(), dice or SystemDice()

    def renew(ready: Path) -> None:
        # Before it is the lab: no phone may take the copy for the lab that it was told by.
        with open_books(ready) as books, open_key_box(ready):
            begin_again(books, at, chance, reason="restored")

    tables = check_copy(copy)
    with held_files(folder):
        if has_lab(folder):
            _demand_nothing_open(folder, at, chance)
        return tables, put_back(folder, copy, at=at.now(), renew=renew)


def _demand_nothing_open(folder: Path, at: Clock, chance: Dice) -> None:
    # At a lab that cannot be opened or read nobody tastes, and it is what copies are for.
    with (
        suppress(NotALab, NotRead),
        open_books(folder, locked=True) as books,
        open_key_box(folder, locked=True) as keys,
    ):
        lab = _lab(
            (books, keys, at, chance),
            name="",
            definitions=FileDefinitions((SHIPPED_DATA,)),
            kits={kit.question.id: kit for kit in SHIPPED},
        )
        demand_no_open_table(lab)


def _lab(kept: tuple[Books, KeyBox, Clock, Dice], **known: Any) -> Lab:
    books, keys, at, chance = kept
    return Lab(
        incarnation=begin_life(books, at, chance),
        books=books,
        keys=keys,
        clock=at,
        dice=chance,
        presence=MemoryPresence(),
        cache=MemoryCache(),
        guesses=MemoryGuessLimit(),
        notifier=ThreadNotifier(),
        **known,
    )
