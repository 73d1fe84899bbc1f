"""What the store, the clock and the tests' fakes offer is what the ports ask for."""

import inspect

import pytest
from at_the_table import LoadedDice, StandingClock

from crustbreak.ports.clock import Clock, Randomness
from crustbreak.ports.definitions import Definitions
from crustbreak.ports.live_state import Cache, GuessLimit, Notifier, Presence
from crustbreak.ports.repository import KeyStore, ReadAccess, Repository, WriteAccess
from crustbreak.services.devices.guess_limit import MemoryGuessLimit
from crustbreak.services.devices.presence import MemoryPresence
from crustbreak.services.lab.cache import MemoryCache
from crustbreak.services.tables.notifier import ThreadNotifier
from crustbreak.store.changes import Changes
from crustbreak.store.definitions import FileDefinitions
from crustbreak.store.key_store import SqliteKeyStore
from crustbreak.store.queries import Queries
from crustbreak.store.repository import SqliteRepository
from crustbreak.store.system_clock import SystemClock, SystemRandomness


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
        (Repository, SqliteRepository),
        (KeyStore, SqliteKeyStore),
        (ReadAccess, Queries),
        (WriteAccess, Changes),
        (Definitions, FileDefinitions),
        (Clock, SystemClock),
        (Clock, StandingClock),
        (Randomness, SystemRandomness),
        (Randomness, LoadedDice),
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
    verbs = {name.split("_")[0] for name in set(asked(WriteAccess)) - set(asked(ReadAccess))}

    assert verbs == {"add"}
