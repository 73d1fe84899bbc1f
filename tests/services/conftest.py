"""A lab on a real store, with a standing clock."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from at_the_table import StandingClock, opened_lab

from crustbreak.ports.lab import Lab


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[tuple[Lab, StandingClock]]:
    with opened_lab(tmp_path / "lab") as pair:
        yield pair


@pytest.fixture
def lab(opened: tuple[Lab, StandingClock]) -> Lab:
    return opened[0]


@pytest.fixture
def clock(opened: tuple[Lab, StandingClock]) -> StandingClock:
    return opened[1]
