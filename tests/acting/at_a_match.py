"""Tables that ask whether a coffee is the one that was approved, from plan to names."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from at_the_table import LoadedDice, StandingClock, read_numbers, said, seated, send

from crustbreak.domain.planning.plan_request import PlanDraft
from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.services.planning.plan import plan_table
from crustbreak.services.tables.actions import break_first, pour_first, table_set, uncover
from crustbreak.services.tables.keys import bowls_to_fill, open_key_to_set
from crustbreak.wiring import open_lab

APPROVED, ARRIVED = "Oskelan, approved", "Oskelan, arrival"
# Nothing parts them.
ALIKE = {APPROVED: (1, 0.5, 1), ARRIVED: (1, 1, 0.5)}
# What one bowl got: how far from the open one, and which way.
Mark = tuple[float, str] | float


@contextmanager
def match_lab(folder: Path) -> Iterator[tuple[Lab, StandingClock]]:
    """Open a lab that asks it, with time and chance in the test's hand."""
    clock = StandingClock()
    with open_lab(folder, name="Test lab", clock=clock, randomness=LoadedDice()) as lab:
        yield lab, clock


def match_draft(**changed: Any) -> PlanDraft:
    """Give a plan of one taster, three bowls of either coffee and one that stands open."""
    asked: dict[str, Any] = {
        "occasion": "Arrival",
        "coffees": (APPROVED, ARRIVED),
        "tasters": ("Odile",),
        "cut_off": 1.5,
        "setter": "Piet",
    }
    return PlanDraft(**{**asked, **changed})


def planned_match(lab: Lab, **changed: Any) -> Table:
    """Plan it."""
    return plan_table(lab, "match", match_draft(**changed))


def tasted_match(
    lab: Lab, table: Table, marks: Mapping[str, Sequence[Mark]], *, call: str = "cannot tell yet"
) -> None:
    """Set, pour, taste, call and uncover it.

    Args:  marks: coffee to what its bowls get from everybody, as the bowls stand.
    """
    names = _set(lab, table)
    table_set(lab, table)
    pour_first(lab, table)
    break_first(lab, table)
    for nth in range(len(table.seats)):
        at = seated(lab, table, nth)
        left = {name: list(given) for name, given in marks.items()}
        things: list[Any] = []
        for place in table.blind:
            mark = left[names[place.id]].pop(0)
            value, way = mark if isinstance(mark, tuple) else (mark, "")
            given = [("difference", value), *([("direction", way)] if way else [])]
            for line, what in given:
                where = {"place": place.id, "line": line, "round": "taste"}
                things.append(said(at, len(things) + 1, "mark", value=what, **where))
        things.append(said(at, len(things) + 1, "hand_in"))
        things.append(said(at, len(things) + 1, "call", value=call))
        answers = send(lab, at, things)
        assert {answer.word for answer in answers} == {"kept"}
    if table.is_numbered:
        read_numbers(lab, table, range(len(table.blind)))
    uncover(lab, table)


def _set(lab: Lab, table: Table) -> dict[str, str]:
    """Fill the bowls; give place to coffee as they will turn out to stand."""
    if not table.is_numbered:
        return open_key_to_set(lab, table)
    filled = bowls_to_fill(lab, table)
    return {place.id: coffee.name for place, (_, coffee) in zip(table.blind, filled, strict=True)}
