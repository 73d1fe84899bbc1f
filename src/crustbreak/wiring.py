"""Everything is built here, and only here is the store known.

To ask a new kind of question, write its one file on each floor and add its line to `SHIPPED`.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from crustbreak.analysis.evidence.choose import weigh_choice
from crustbreak.domain.questions.choose import CHOOSE
from crustbreak.ports.clock import Clock, Dice
from crustbreak.ports.kits import Kit
from crustbreak.ports.lab import Lab
from crustbreak.reports.choose import choice_memo, show_choice
from crustbreak.services.hearing import ShortMemory, ThreadBell
from crustbreak.services.living import begin_life
from crustbreak.store.books import open_books
from crustbreak.store.clock import SystemClock, SystemDice
from crustbreak.store.definitions import SHIPPED_DATA, FileDefinitions
from crustbreak.store.key_box import open_key_box

SHIPPED: tuple[Kit, ...] = (Kit(CHOOSE, weigh_choice, show_choice, choice_memo),)


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
        yield Lab(
            name=name,
            incarnation=begin_life(books, at, chance),
            books=books,
            keys=keys,
            clock=at,
            dice=chance,
            definitions=FileDefinitions((SHIPPED_DATA, *definitions)),
            kits={kit.question.id: kit for kit in kits},
            hearing=ShortMemory(),
            bell=ThreadBell(),
        )
