"""Records to rows and back; where columns are named as fields, without a word on each."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import Field, asdict, fields, replace
from typing import Any, ClassVar, Protocol, TypeVar, cast

from sqlalchemy import Row as SqlRow

from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.numbered_bowls import BowlReading, NumberedBowls
from crustbreak.domain.records.recipes import Recipe
from crustbreak.domain.records.sample_conditions import SampleConditions
from crustbreak.domain.records.tables import (
    USUAL_FIRST_ROUND_S,
    CupTimes,
    Flight,
    Place,
    Screening,
    Seat,
    Table,
)
from crustbreak.domain.records.tasting_orders import TastingOrder
from crustbreak.domain.tables.entries import Entry, Event
from crustbreak.ports.repository import KeptEntry, Listed

Row = SqlRow[Any]

# Act to how a table stands after it, as far as it is settled; marks that are let in open it again.
ENDED = {"decided": "decided", "abandoned": "abandoned", "admitted": ""}
Groups = Mapping[tuple[str, ...], Sequence[Row]]


class _Record(Protocol):
    """Any dataclass."""

    __dataclass_fields__: ClassVar[dict[str, Field[Any]]]


R = TypeVar("R", bound=_Record)


def read_record(kind: type[R], row: Row) -> R:
    """Make a record of the columns that are named as its fields."""
    return kind(**{field.name: getattr(row, field.name) for field in fields(kind)})


def record_row(record: _Record) -> dict[str, Any]:
    """Return a record's fields as columns."""
    return {field.name: getattr(record, field.name) for field in fields(record)}


def read_entry(row: Row) -> KeptEntry:
    """Read an entry with when it came and what was answered."""
    said = {field.name: getattr(row, field.name) for field in fields(Entry) if field.name != "id"}
    return KeptEntry(
        entry=Entry(id=row.entry_id, **said),
        received_at=row.received_at,
        digest=row.digest,
        late=row.late,
        offset_ms=row.offset_ms,
        arrival=row.arrival,
    )


def entry_row(kept: KeptEntry) -> dict[str, Any]:
    """Return the row of an entry."""
    row = record_row(kept) | record_row(kept.entry)
    row["entry_id"] = row.pop("id")
    # The store counts arrivals itself.
    del row["entry"], row["arrival"]
    return row


def read_event(row: Row) -> Event:
    """Read an act of the host's; most are about no bowls."""
    event = read_record(Event, row)
    if row.readings is None:
        return event
    return replace(event, readings=tuple(BowlReading(**each) for each in row.readings))


def event_row(event: Event) -> dict[str, Any]:
    """Return the row of an act."""
    read = event.readings
    return record_row(event) | {"readings": read and [asdict(each) for each in read]}


def read_tables(
    rows: Iterable[Row], *, flights: Iterable[Row], places: Iterable[Row], seats: Iterable[Row]
) -> tuple[Table, ...]:
    """Put tables together from all their rows; what belongs to one comes as it stands."""
    flights_of = _gathered(flights, "table_id")
    places_of = _gathered(places, "table_id", "flight_id")
    seats_of = _gathered(seats, "table_id")
    return tuple(
        Table(
            id=row.table_id,
            question=row.question,
            sheet=row.sheet,
            occasion=row.occasion,
            flights=tuple(_flight(flight, places_of) for flight in flights_of[(row.table_id,)]),
            seats=tuple(_seat(seat) for seat in seats_of[(row.table_id,)]),
            recipe=Recipe(**row.recipe),
            cut_off=row.cut_off,
            setter=row.setter,
            planned_at=row.planned_at,
            course=tuple(CupTimes(**times) for times in row.course or ()),
            # Tables of an earlier version go by common practice.
            first_round_s=row.first_round_s or USUAL_FIRST_ROUND_S,
            is_numbered=bool(row.is_numbered),
            conditions=SampleConditions(**(row.beside or {})),
            screening=Screening(**row.first_look) if row.first_look else None,
            asked=_asked(row),
            follows=row.follows or "",
        )
        for row in rows
    )


def _gathered(rows: Iterable[Row], *columns: str) -> Groups:
    groups: defaultdict[tuple[str, ...], list[Row]] = defaultdict(list)
    for row in rows:
        groups[tuple(getattr(row, column) for column in columns)].append(row)
    return groups


def _flight(row: Row, places_of: Groups) -> Flight:
    return Flight(
        id=row.flight_id,
        places=tuple(
            Place(
                id=place.place_id,
                code=place.code,
                cups=place.cups,
                is_open=bool(place.is_open),
            )
            for place in places_of[row.table_id, row.flight_id]
        ),
    )


def _seat(row: Row) -> Seat:
    return Seat(id=row.seat_id, taster=row.taster, tasting_order=_tasting_order(row.walk))


def _tasting_order(said: Mapping[str, Sequence[int]] | None) -> TastingOrder | None:
    """Read a tasting order; on an older seat there is none."""
    if said is None:
        return None
    return TastingOrder(there=tuple(said["there"]), back=tuple(said["back"]))


def _asked(row: Row) -> dict[str, Any]:
    """Read what was asked; an older table has a column of its own for how sure."""
    if row.asked is not None:
        return dict(row.asked)
    return {} if row.certainty is None else {"certainty": row.certainty}


def table_row(table: Table) -> dict[str, Any]:
    """Return the row of a table itself, without what belongs to it."""
    return {
        "table_id": table.id,
        "planned_at": table.planned_at,
        "question": table.question,
        "sheet": table.sheet,
        "occasion": table.occasion,
        "cut_off": table.cut_off,
        "setter": table.setter,
        "recipe": asdict(table.recipe),
        "course": [asdict(times) for times in table.course],
        "first_round_s": table.first_round_s,
        "is_numbered": table.is_numbered,
        "beside": asdict(table.conditions),
        "first_look": asdict(table.screening) if table.screening else None,
        "asked": dict(table.asked),
        "follows": table.follows,
    }


def state_row(table: Table) -> dict[str, Any]:
    """Return the row of a planned table's state, before anything was done at it."""
    return {
        "table_id": table.id,
        "question": table.question,
        "sheet": table.sheet,
        "planned_at": table.planned_at,
        "first_look": table.screening.id if table.screening else "",
        "follows": table.follows,
        "ended": "",
        "uncovered_at": None,
    }


def read_listed(row: Row) -> Listed:
    """Read a table's state in the order of its columns, then the numbers of its version."""
    table_id, question, sheet, planned_at, screening, follows, ended, uncovered_at, *last = cast(
        "tuple[Any, ...]", row
    )
    return Listed(
        id=table_id,
        question=question,
        sheet=sheet,
        planned_at=planned_at,
        screening=screening,
        follows=follows,
        ended=ended,
        uncovered_at=uncovered_at,
        version=tuple(last),
    )


def flight_rows(table: Table) -> list[dict[str, Any]]:
    """Return the rows of a table's flights."""
    return [
        {"table_id": table.id, "flight_id": flight.id, "position": position}
        for position, flight in enumerate(table.flights)
    ]


def place_rows(table: Table) -> list[dict[str, Any]]:
    """Return the rows of a table's places."""
    return [
        {
            "table_id": table.id,
            "flight_id": flight.id,
            "place_id": place.id,
            "position": position,
            "code": place.code,
            "cups": place.cups,
            "is_open": place.is_open,
        }
        for flight in table.flights
        for position, place in enumerate(flight.places)
    ]


def seat_rows(table: Table) -> list[dict[str, Any]]:
    """Return the rows of a table's seats."""
    return [
        {
            "table_id": table.id,
            "seat_id": seat.id,
            "position": position,
            "taster": seat.taster,
            "walk": asdict(seat.tasting_order) if seat.tasting_order else None,
        }
        for position, seat in enumerate(table.seats)
    ]


def coffee_rows(table_id: str, coffees: Iterable[Coffee]) -> list[dict[str, Any]]:
    """Return the rows of a table's coffees."""
    return [
        {
            "table_id": table_id,
            "coffee_id": coffee.id,
            "position": position,
            "name": coffee.name,
            "is_control": coffee.is_control,
            "price": coffee.price,
            "kilos": coffee.kilos,
            "order_class": coffee.order_class,
        }
        for position, coffee in enumerate(coffees)
    ]


def read_coffee(row: Row) -> Coffee:
    """Read a coffee; older rows say neither what it is, costs, nor in which class it stands."""
    return Coffee(
        id=row.coffee_id,
        name=row.name,
        is_control=bool(row.is_control),
        price=row.price,
        kilos=row.kilos,
        order_class=row.order_class or 1,
    )


def numbered_bowls_rows(
    table_id: str, numbered_bowls: Iterable[NumberedBowls]
) -> list[dict[str, Any]]:
    """Return the rows of a table's trays."""
    return [
        {"table_id": table_id, "position": position, **asdict(bowl_group)}
        for position, bowl_group in enumerate(numbered_bowls)
    ]


def read_numbered_bowls(row: Row) -> NumberedBowls:
    """Read a tray."""
    return NumberedBowls(
        coffee_id=row.coffee_id, bowls=tuple(row.bowls), order_class=row.order_class
    )
