"""A lab on disk, a table in it, and makers of what is said at it."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Engine, event

from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.recipes import STANDARD
from crustbreak.domain.records.tables import Flight, Place, Seat, Table
from crustbreak.domain.tables.entries import Entry
from crustbreak.ports.repository import KeptEntry
from crustbreak.store.repository import SqliteRepository, open_repository

MOMENT = datetime(2030, 1, 31, 9, 30, 0, 250_000, tzinfo=UTC)


@pytest.fixture
def moment() -> datetime:
    return MOMENT


@pytest.fixture
def make_table() -> Callable[..., Table]:
    """Give a maker of tables: two flights, and two seats unless others are named."""

    def make(table_id: str = "table-1", **changed: Any) -> Table:
        flights = tuple(
            Flight(
                id=f"{table_id}-flight-{flight}",
                places=tuple(
                    Place(id=f"{table_id}-place-{flight}{place}", code=f"{flight}{place}7", cups=5)
                    for place in (2, 1)
                ),
            )
            for flight in (2, 1)
        )
        planned = {
            "id": table_id,
            "question": "choose",
            "sheet": "ten_line/1",
            "occasion": "January offers",
            "flights": flights,
            "seats": tuple(
                Seat(id=f"{table_id}-seat-{seat}", taster=f"Taster {seat}") for seat in (2, 1)
            ),
            "recipe": STANDARD,
            "cut_off": 82.25,
            "setter": "Mona",
            "planned_at": MOMENT,
        }
        return Table(**(planned | changed))

    return make


@pytest.fixture
def make_entry() -> Callable[..., KeptEntry]:
    """Give a maker of entries from a seat of `table`."""

    def make(no: int = 1, *, late: bool = False, digest: str = "", **changed: Any) -> KeptEntry:
        said = {
            "table_id": "table-1",
            "seat_id": "table-1-seat-1",
            "grip": 1,
            "no": no,
            "kind": "mark",
            "sheet": "ten_line/1",
            "place_id": "table-1-place-11",
            "cup": None,
            "line": "flavor",
            "round": "hot",
            "value": 7.75,
            "device_time": MOMENT,
        }
        said |= changed
        said.setdefault("id", f"{said['seat_id']}-{said['grip']}-{said['no']}")
        return KeptEntry(
            entry=Entry(**said), received_at=MOMENT, digest=digest or "0" * 64, late=late
        )

    return make


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Give where the lab is: not there yet, under a name that needs care in an address."""
    return tmp_path / "lab of Mönch & sons #1? 100%"


@pytest.fixture
def repository(folder: Path) -> Iterator[SqliteRepository]:
    with open_repository(folder) as opened:
        yield opened


@pytest.fixture
def table(repository: SqliteRepository, make_table: Callable[..., Table]) -> Table:
    """Give a table that is in the records, with three coffees."""
    planned = make_table()
    coffees = tuple(Coffee(id=f"coffee-{name}", name=name) for name in ("Sidra", "Anaerobic", "B"))
    repository.write(lambda writing: writing.add_table(planned, coffees, token="token-1"))
    return planned


@pytest.fixture
def counted() -> Callable[..., Any]:
    """Give a context in which what happens on every engine is counted, by kind of event."""

    @contextmanager
    def count(kind: str) -> Iterator[list[object]]:
        seen: list[object] = []

        def note(*happened: object) -> None:
            seen.append(happened)

        event.listen(Engine, kind, note)
        try:
            yield seen
        finally:
            event.remove(Engine, kind, note)

    return count
