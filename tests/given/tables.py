"""A small table made by hand, for the tests of every layer that needs one."""

import tomllib
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.keys import Key
from crustbreak.domain.records.marks import Mark, Value
from crustbreak.domain.records.recipes import STANDARD
from crustbreak.domain.records.tables import Flight, Place, Seat, Table
from crustbreak.domain.sheets.definition import Sheet, read_sheet
from crustbreak.domain.tables.entries import Entry, Event, EventKind

SHEETS = Path(__file__).parents[2] / "src/crustbreak/data/sheets"
SHEET_FILE = SHEETS / "ten_line.toml"
DIFFERENCE_FILE = SHEETS / "difference.toml"
NOON = datetime(2031, 3, 4, 12, 0, tzinfo=UTC)
QUALITY = ("fragrance_aroma", "flavor", "aftertaste", "acidity", "body", "balance", "overall")
CLEAN = {"sweetness": "sweet", "uniformity": "alike", "clean_cup": "clean", "defects": "none"}


def after(seconds: float) -> datetime:
    """Give a moment so long after the table was planned."""
    return NOON + timedelta(seconds=seconds)


def ten_line_definition() -> dict[str, Any]:
    """Give the shipped definition, fresh, to be spoilt by a test."""
    return tomllib.loads(SHEET_FILE.read_text(encoding="utf-8"))


def ten_line() -> Sheet:
    """Give the shipped ten-line sheet."""
    return read_sheet(ten_line_definition(), name=SHEET_FILE.name)


def difference_definition() -> dict[str, Any]:
    """Give the shipped definition, fresh, to be spoilt by a test."""
    return tomllib.loads(DIFFERENCE_FILE.read_text(encoding="utf-8"))


def difference() -> Sheet:
    """Give the shipped difference sheet."""
    return read_sheet(difference_definition(), name=DIFFERENCE_FILE.name)


def place(place_id: str = "p1", code: str = "527", cups: int = 5) -> Place:
    """Give a place; five bowls unless said otherwise."""
    return Place(id=place_id, code=code, cups=cups)


def table(*tasters: str, places: int = 3, **changed: Any) -> Table:
    """Give a planned table: places p1, p2 ..., seats s1, s2 ... for the tasters named."""
    codes = ("527", "814", "396", "941", "168")
    names = tasters or ("Ines",)
    snapshot = tuple(place(f"p{nth + 1}", codes[nth]) for nth in range(places))
    facts: dict[str, Any] = {
        "id": "t1",
        "question": "choose",
        "sheet": "ten_line/1",
        "occasion": "Spring offers",
        "flights": (Flight(id="f1", places=snapshot),),
        "seats": tuple(Seat(id=f"s{nth + 1}", taster=name) for nth, name in enumerate(names)),
        "recipe": STANDARD,
        "cut_off": 80.0,
        "setter": "Wren",
        "planned_at": NOON,
    }
    return Table(**{**facts, **changed})


def coffees(*names: str) -> tuple[Coffee, ...]:
    """Give coffees c1, c2 ... with these names."""
    return tuple(Coffee(id=f"c{nth + 1}", name=name) for nth, name in enumerate(names))


def straight_key(count: int) -> Key:
    """Give the key that puts c1 under p1, c2 under p2 and so on."""
    return Key(coffee_of={f"p{nth}": f"c{nth}" for nth in range(1, count + 1)}, seed="00")


def mark(line: str, value: Value, *, cup: int | None = None, **changed: Any) -> Mark:
    """Give a mark by s1 of p1, in the round in which the ten-line sheet asks for the line."""
    asked = {"fragrance_aroma": "smell", "flavor": "hot", "aftertaste": "hot", "note": "hot"}
    asked |= dict.fromkeys(("acidity", "body", "balance"), "warm")
    facts: dict[str, Any] = {
        "seat_id": "s1",
        "place_id": "p1",
        "cup": cup,
        "line": line,
        "round": asked.get(line, "cool"),
        "value": value,
    }
    return Mark(**{**facts, **changed})


def full_marks(
    points: float | Mapping[str, float], flagged: Mapping[str, Mapping[int, str]] | None = None
) -> tuple[Mark, ...]:
    """Give a complete sheet of p1.

    points:   of all seven quality lines, or of each by its id.
    flagged:  line id to {bowl: word} for the bowls that did not get the usual word.
    """
    said = points if isinstance(points, Mapping) else dict.fromkeys(QUALITY, points)
    scales = [mark(line, said[line]) for line in QUALITY]
    bowls = [
        mark(line, (flagged or {}).get(line, {}).get(cup, usual), cup=cup)
        for line, usual in CLEAN.items()
        for cup in range(1, 6)
    ]
    return (*scales, *bowls)


def entry(no: int, kind: str = "mark", **changed: Any) -> Entry:
    """Give an entry of seat s1; a mark of flavor on p1 unless said otherwise."""
    is_mark = kind == "mark"
    facts: dict[str, Any] = {
        "seat_id": "s1",
        "grip": 1,
        "table_id": "t1",
        "sheet": "ten_line/1",
        "place_id": "p1" if is_mark else None,
        "cup": None,
        "line": "flavor" if is_mark else None,
        "round": "hot" if is_mark else None,
        "value": 7.5 if is_mark else None,
        "device_time": after(no),
    }
    facts |= changed
    name = f"{facts['seat_id']}-{facts['grip']}-{no}".encode().hex()
    return Entry(id=f"{name:0>32}", no=no, kind=kind, **facts)


def entries_of(
    seat_id: str, place_id: str, marks: Iterable[Mark], *, first: int = 1
) -> list[Entry]:
    """Give a seat's entries for marks, all of them put on one place."""
    return [
        entry(
            first + nth,
            seat_id=seat_id,
            place_id=place_id,
            cup=each.cup,
            line=each.line,
            round=each.round,
            value=each.value,
        )
        for nth, each in enumerate(marks)
    ]


def fact(
    number: int,
    kind: EventKind,
    seconds: float,
    *,
    cup: int = 1,
    figure: float | None = None,
    by: tuple[int, int] | None = None,
    undoes: str = "",
) -> Event:
    """Give what was noted of a bowl of p1, by the host unless a helper's (grip, no) is given."""
    return Event(
        table_id="t1",
        number=number,
        kind=kind,
        at=after(seconds),
        detail=undoes,
        figure=figure,
        place_id="p1",
        cup=cup,
        grip=by[0] if by else None,
        no=by[1] if by else None,
    )


def event(number: int, kind: EventKind, seconds: float | None = None) -> Event:
    """Give an act of the host, ten seconds after the one before unless said otherwise."""
    return Event(
        table_id="t1",
        number=number,
        kind=kind,
        at=after(10 * number if seconds is None else seconds),
    )
