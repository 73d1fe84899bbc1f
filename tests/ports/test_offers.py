"""What the store, the clock and the tests' fakes offer is what the ports ask for."""

import inspect

import pytest
from at_the_table import LoadedDice, StandingClock

from crustbreak.ports.clock import Clock, Dice
from crustbreak.ports.definitions import Definitions
from crustbreak.ports.live_state import Cache, GuessLimit, Notifier, Presence
from crustbreak.ports.repository import Books, KeyBox, Reading, Writing
from crustbreak.services.devices.guess_limit import MemoryGuessLimit
from crustbreak.services.devices.presence import MemoryPresence
from crustbreak.services.lab.cache import MemoryCache
from crustbreak.services.tables.notifier import ThreadNotifier
from crustbreak.store.changes import BooksWriting
from crustbreak.store.definitions import FileDefinitions
from crustbreak.store.key_store import SqliteKeyBox
from crustbreak.store.queries import BooksReading
from crustbreak.store.repository import SqliteBooks
from crustbreak.store.system_clock import SystemClock, SystemDice


def asked(port: type) -> dict[str, list[str]]:
    """Give each method of a port with the names of its arguments."""
    return {
        name: list(inspect.signature(method).parameters)
        for name, method in inspect.getmembers(port, inspect.isfunction)
        if not name.startswith("_")
    }


@pytest.mark.parametrize(
    ("port", "offer"),
    [
        (Books, SqliteBooks),
        (KeyBox, SqliteKeyBox),
        (Reading, BooksReading),
        (Writing, BooksWriting),
        (Definitions, FileDefinitions),
        (Clock, SystemClock),
        (Clock, StandingClock),
        (Dice, SystemDice),
        (Dice, LoadedDice),
        (Presence, MemoryPresence),
        (Cache, MemoryCache),
        (GuessLimit, MemoryGuessLimit),
        (Notifier, ThreadNotifier),
    ],
)
def test_offers_what_the_port_asks_for(port: type, offer: type) -> None:
    wanted, given = asked(port), asked(offer)

    assert wanted
    assert {name: given.get(name) for name in wanted} == wanted


def test_nothing_that_was_kept_can_be_changed_through_the_port() -> None:
    verbs = {name.split("_")[0] for name in set(asked(Writing)) - set(asked(Reading))}

    assert verbs == {"add"}
