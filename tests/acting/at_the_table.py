"""People at a table, acted through the services: what most tests of the upper layers begin with."""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path
from typing import Any

from crustbreak.domain.planning.plan_request import PlanDraft
from crustbreak.domain.records.numbered_bowls import BowlReading
from crustbreak.domain.records.tables import Place, Table
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import Answer
from crustbreak.services.devices.join import Seated, take_seat
from crustbreak.services.devices.submissions import receive_entries
from crustbreak.services.planning.plan import plan_table
from crustbreak.services.tables.actions import break_first, pour_first, table_set, uncover
from crustbreak.services.tables.bowl_numbers import read_bowls
from crustbreak.services.tables.keys import bowls_to_fill
from crustbreak.services.tables.views import view_table
from crustbreak.wiring import open_lab

COFFEES = ("Marrow Hill", "Sallow Bridge", "Fen Cross")
MORNING = datetime(2031, 3, 4, 9, 30, tzinfo=UTC)


class StandingClock:
    """A clock that stands until a test moves it."""

    def __init__(self) -> None:
        self.moment = MORNING

    def now(self) -> datetime:
        return self.moment

    def pass_seconds(self, seconds: float) -> None:
        self.moment += timedelta(seconds=seconds)


class LoadedDice:
    """Secrets and seeds that are the same each time, and never twice the same."""

    def __init__(self) -> None:
        self.thrown = 0

    def seed(self) -> bytes:
        self.thrown += 1
        return sha256(f"seed {self.thrown}".encode()).digest()

    def secret(self) -> str:
        self.thrown += 1
        return sha256(f"secret {self.thrown}".encode()).hexdigest()[:22]


@contextmanager
def opened_lab(folder: Path) -> Iterator[tuple[Lab, StandingClock]]:
    """Open a lab on a real store, with time and chance in the test's hand."""
    clock = StandingClock()
    with open_lab(folder, name="Test lab", clock=clock, randomness=LoadedDice()) as lab:
        yield lab, clock


def planned(
    lab: Lab, *, tasters: Sequence[str] = ("Odile",), setter: str = "Piet", **more: Any
) -> Table:
    """Plan a table, of three coffees unless others are named."""
    asked: dict[str, Any] = {"occasion": "Morning offers", "coffees": COFFEES, "cut_off": 84.0}
    draft = PlanDraft(tasters=tuple(tasters), setter=setter, **{**asked, **more})
    return plan_table(lab, "choose", draft)


def under_way(lab: Lab, **asked: Any) -> Table:
    """Plan a table, set it, pour and break."""
    table = planned(lab, **asked)
    _pour_and_break(lab, table)
    return table


def _pour_and_break(lab: Lab, table: Table) -> None:
    table_set(lab, table)
    pour_first(lab, table)
    break_first(lab, table)


def seated(lab: Lab, table: Table, nth: int = 0) -> Seated:
    """Let the nth taster's phone take its seat."""
    token = view_table(lab, table.id).invitation
    return take_seat(lab, token, table.seats[nth].id, lab.randomness.secret())


def said(at: Seated, no: int, kind: str, **what: Any) -> dict[str, Any]:
    """Say one thing as a phone would send it; its id follows from seat and number."""
    return {
        "id": sha256(f"{at.seat.id} {at.grip} {no}".encode()).hexdigest()[:32],
        "grip": at.grip,
        "no": no,
        "kind": kind,
        "sheet": at.table.sheet,
        "place": None,
        "cup": None,
        "line": None,
        "round": None,
        "value": None,
        "device_time": "2031-03-04T09:40:00.000Z",
        **what,
    }


def whole_sheet(lab: Lab, at: Seated, *, points: float = 8.0, start: int = 1) -> list[Any]:
    """Mark everything: the same points on every scale line, every bowl as usual."""
    sheet = lab.sheet(at.table.sheet)
    things: list[tuple[Place, Any, int | None, Any]] = []
    for place in at.table.tasted_by(at.seat):
        for line in sheet.scored:
            if line.kind == "scale":
                things.append((place, line, None, points))
            else:
                usual = line.options[0].id
                things += [(place, line, cup, usual) for cup in range(1, place.cups + 1)]
    return [
        said(at, no, "mark", place=place.id, line=line.id, round=line.round, cup=cup, value=value)
        for no, (place, line, cup, value) in enumerate(things, start=start)
    ]


def send(lab: Lab, at: Seated, things: list[Any]) -> tuple[Answer, ...]:
    """Send in batches, as a phone does."""
    answers: list[Answer] = []
    for first in range(0, len(things), 100):
        answers += receive_entries(lab, at, things[first : first + 100])
    return tuple(answers)


def finish(lab: Lab, at: Seated, *, points: float = 8.0, call: str = "buy") -> None:
    """Mark everything, hand in, call every code."""
    marks = whole_sheet(lab, at, points=points)
    rest = [said(at, len(marks) + 1, "hand_in")]
    rest += [
        said(at, len(marks) + 2 + nth, "call", place=place.id, value=call)
        for nth, place in enumerate(at.table.tasted_by(at.seat))
    ]
    send(lab, at, [*marks, *rest])


def read_numbers(
    lab: Lab, table: Table, order: Iterable[int], *, reason: str = ""
) -> tuple[BowlReading, ...]:
    """Wash up: at the nth place stood the tray of that number, from 0, with all its bowls."""
    numbered_bowls = [bowl_group for bowl_group, _ in bowls_to_fill(lab, table)]
    readings = tuple(
        BowlReading(
            place_id=place.id,
            number=numbered_bowls[nth].bowls[0],
            check=numbered_bowls[nth].bowls[1] if place.cups > 1 else None,
        )
        for place, nth in zip(table.blind, order, strict=True)
    )
    read_bowls(lab, table, readings, reason=reason)
    return readings


def uncovered(lab: Lab, *, tasters: Sequence[str] = ("Odile",), setter: str = "Piet") -> Table:
    """Play a table up to the moment at which the codes have their names."""
    table = planned(lab, tasters=tasters, setter=setter)
    played(lab, table)
    return table


def played(lab: Lab, table: Table) -> None:
    """Play a planned table up to the moment at which the codes have their names."""
    _pour_and_break(lab, table)
    for nth in range(len(table.seats)):
        finish(lab, seated(lab, table, nth))
    uncover(lab, table)
