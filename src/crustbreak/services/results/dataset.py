"""A table's looks with the names of its coffees, and what earlier tables say of its tasters."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from crustbreak.analysis.dataset import Frame, frame_table
from crustbreak.core.errors import NotYours
from crustbreak.domain.planning.plan_request import as_compared
from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.blinding import Role, may_see_totals
from crustbreak.domain.tables.entries import Event
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import Reading
from crustbreak.services.tables.keys import open_control, open_key
from crustbreak.services.tables.state import stand

# Tasters change over the years, and each further table adds less.
MOST_TABLES = 60
# A name that stood on a table within so many days of another is the same lot; later the next
# crop may bear it. Our judgement. A control bears its name for good: its portions are frozen.
LOT_DAYS = 180


def frame_of(lab: Lab, table: Table) -> Frame:
    """Give the table's looks with their coffees; NotYours while codes are sealed."""
    key = open_key(lab, table, Role.HOST)

    def ask(books: Reading) -> Frame:
        state = stand(lab, books, table)
        if not may_see_totals(state.flight):
            raise NotYours("No totals while codes are sealed.", hint="Uncover the table first.")
        return frame_table(
            table, state, lab.sheet(table.sheet), key=key, coffees=books.coffees(table.id)
        )

    return lab.books.read(ask)


def control_frame(lab: Lab, table: Table) -> Frame:
    """Give the looks at a table's control alone, with the tables before it.

    Raises:  NotYours until it may be known which code it was.
    """
    key = open_control(lab, table)
    acts = lab.books.read(lambda books: books.events_by_table())
    history = _before(lab, table.sheet, acts, until=_uncovered(acts.get(table.id, ())))

    def ask(books: Reading) -> Frame:
        state = stand(lab, books, table)
        coffees = tuple(each for each in books.coffees(table.id) if each.is_control)
        told = tuple(place for place in table.places if place.id in key.coffee_of)
        alone = replace(table, flights=(replace(table.flights[0], places=told),))
        sheet = lab.sheet(table.sheet)
        return frame_table(alone, state, sheet, key=key, coffees=coffees)

    return replace(_with_lots(lab.books.read(ask)), history=history)


def frame_with_history(lab: Lab, table: Table) -> Frame:
    """Give the table's looks with what is assumed of them and the tables uncovered before it.

    All such tables count, whatever was decided on them: leaving out what was declined would
    make the bought coffees look better than they are.
    """
    acts = lab.books.read(lambda books: books.events_by_table())
    today = _uncovered(acts.get(table.id, ()))
    history = _before(lab, table.sheet, acts, until=today, follows=table.follows)
    return replace(
        _with_lots(frame_of(lab, table)),
        priors=lab.priors(table.sheet),
        history=history,
        at=today,
        house=lab.books.read(lambda books: books.house(table.planned_at)),
    )


def _with_lots(frame: Frame, *, is_recent: bool = True) -> Frame:
    """Let every coffee be the lot that its name says; of an old table the control alone."""
    named = (*(frame.coffees if is_recent else ()), *frame.controls)
    return replace(frame, lots={each.id: as_compared(each.name) for each in named})


def known_lots(lab: Lab, table: Table) -> tuple[tuple[str, int], ...]:
    """Give the names on a table that will be taken for a lot of earlier ones, and of how many.

    It asks for names alone and opens no key. Nothing where the question keeps to its own table.
    """
    if not lab.kit(table.question).question.keeps_lots:
        return ()

    def ask(books: Reading) -> tuple[tuple[str, int], ...]:
        acts = books.events_by_table()
        stood = Counter(
            as_compared(coffee.name)
            for each in books.tables()
            if each.sheet == table.sheet
            and _is_recent(_uncovered(acts.get(each.id, ())), table.planned_at)
            for coffee in books.coffees(each.id)
            if not coffee.is_control
        )
        named = [each.name for each in books.coffees(table.id) if not each.is_control]
        return tuple((name, stood[as_compared(name)]) for name in named if stood[as_compared(name)])

    return lab.books.read(ask)


def _is_recent(uncovered: datetime | None, planned_at: datetime) -> bool:
    earliest = planned_at - timedelta(days=LOT_DAYS)
    return uncovered is not None and earliest <= uncovered < planned_at


def house_history(lab: Lab, sheet: str) -> tuple[Frame, ...]:
    """Give the uncovered tables on a sheet, the last one first."""
    acts = lab.books.read(lambda books: books.events_by_table())
    return _before(lab, sheet, acts, until=None)


def most_of(tables: Sequence[Table], *, follows: str) -> tuple[Table, ...]:
    """Give so many of the tables as count, the last one first as they come.

    Args:  follows: of the table to whose answer is added, or empty. However many have come between,
           all looks at that answer stay: without them a later one would pass for the first.
    """
    before = {table.id: table.follows for table in tables}
    looks = set()
    while follows in before and follows not in looks:
        looks.add(follows)
        follows = before[follows]
    return tuple(
        table for nth, table in enumerate(tables) if nth < MOST_TABLES or table.id in looks
    )


def _before(
    lab: Lab,
    sheet: str,
    acts: Mapping[str, tuple[Event, ...]],
    *,
    until: datetime | None,
    follows: str = "",
) -> tuple[Frame, ...]:
    found = [
        (at, table)
        for table in lab.books.read(lambda books: books.tables())
        if table.sheet == sheet
        and (at := _uncovered(acts.get(table.id, ()))) is not None
        and (until is None or at < until)
    ]
    found.sort(key=lambda each: (each[0], each[1].id), reverse=True)
    since = (until or found[0][0]) - timedelta(days=LOT_DAYS) if found else None
    kept = {table.id for table in most_of([table for _, table in found], follows=follows)}
    frames = ((at, replace(frame_of(lab, table), at=at)) for at, table in found if table.id in kept)
    return tuple(
        _with_lots(frame, is_recent=since is not None and at >= since) for at, frame in frames
    )


def _uncovered(acts: tuple[Event, ...]) -> datetime | None:
    return next((act.at for act in acts if act.kind == "uncovered"), None)
