"""What every test shares."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from at_the_table import StandingClock, opened_lab
from hypothesis import settings

from crustbreak.ports.lab import Lab

# Time is measured by benchmarks: a busy machine must not make a property false.
settings.register_profile("house", deadline=None)
settings.load_profile("house")

# Before anything imports arrays: several threads on busy cores are slower than one.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


@pytest.hookimpl(tryfirst=True)
def pytest_itemcollected(item: pytest.Item) -> None:
    """Mark a test by what it uses, so that nobody can forget to."""
    if "browser" in getattr(item, "fixturenames", ()):
        item.add_marker(pytest.mark.browser)


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the browser's tests last, in the random order they already have.

    The quick ones speak first, and an open browser keeps this thread's event loop for itself:
    a later test that starts one of its own would fail.
    """
    items.sort(key=lambda item: item.get_closest_marker("browser") is not None)


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[tuple[Lab, StandingClock]]:
    """Give a lab on a real store, with a clock that stands until it is moved."""
    with opened_lab(tmp_path / "lab") as pair:
        yield pair


@pytest.fixture
def lab(opened: tuple[Lab, StandingClock]) -> Lab:
    return opened[0]


@pytest.fixture
def clock(opened: tuple[Lab, StandingClock]) -> StandingClock:
    return opened[1]
