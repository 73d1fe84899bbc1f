"""Control and duplicate: shown after the calls and before the names, to be talked about."""

from dataclasses import dataclass

from crustbreak.analysis.controls import ControlFinding, find_controls
from crustbreak.core.errors import NotNow
from crustbreak.domain.capabilities import HiddenControl, HiddenDuplicate
from crustbreak.domain.records.tables import Table
from crustbreak.domain.sheets.scoring import score_place
from crustbreak.domain.tables.bowl_facts import judged_bowls
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import WriteAccess
from crustbreak.services.results.dataset import control_dataset
from crustbreak.services.tables.actions import WASH_FIRST, is_read
from crustbreak.services.tables.keys import open_duplicates
from crustbreak.services.tables.planned import coffees_of
from crustbreak.services.tables.state import demand, snapshot_in


@dataclass(frozen=True, slots=True, kw_only=True)
class Twice:
    """Codes that were one coffee.

    apart:  taster and how far apart the own totals of them lie, points; None while one is open.
    """

    codes: tuple[str, ...]
    apart: tuple[tuple[str, float | None], ...]


def may_have_duplicate(lab: Lab, table: Table) -> bool:
    """Return whether a hidden control or duplicate stands on a table."""
    question = lab.plugin(table.question).question
    if not (question.can(HiddenControl) or question.can(HiddenDuplicate)):
        return False
    if table.is_numbered and not lab.repository.read(lambda records: is_read(records, table)):
        return False
    coffees = lab.repository.read(lambda records: coffees_of(lab, records, table.id))
    return len(table.blind) > len(coffees) or any(coffee.is_control for coffee in coffees)


def control_shown(lab: Lab, table: Table) -> tuple[ControlFinding, ...]:
    """Return how the control came out, and how it usually does, once it may be known.

    Raises:  NotYours until it may be known.
    """
    open_duplicates(lab, table)
    return find_controls(control_dataset(lab, table))


def reveal_duplicate(lab: Lab, table: Table) -> None:
    """Let control and double be known; from then on the calls stay as they are.

    Raises:  NotNow unless every taster has called and the codes have no names yet.
    """

    def work(records: WriteAccess) -> None:
        state = snapshot_in(lab, records, table)
        demand(state, "double shown", hint="It is shown after the calls, and before the names.")
        if table.is_numbered and not is_read(records, table):
            raise NotNow("The numbers under the bowls are not read.", hint=WASH_FIRST)
        if state.duplicate_shown is None:
            last = records.last_arrival(table.id)
            records.add_event(table.id, "double shown", at=lab.clock.now(), arrival=last)

    lab.repository.write(work)
    lab.notifier.ring(table.id)


def what_stood_twice(lab: Lab, table: Table) -> tuple[Twice, ...]:
    """Return the codes that were one coffee, and how alike each taster had them.

    Raises:  NotYours until it may be known.
    """
    doubles = open_duplicates(lab, table)
    state = lab.repository.read(lambda records: snapshot_in(lab, records, table))
    sheet, judged = lab.sheet(table.sheet), judged_bowls(table, state.bowls)
    found = []
    for ids in doubles:
        places = [place for place in table.places if place.id in ids]
        apart = []
        for seat in table.seats:
            view = state.seats[seat.id]
            if view.left_out is None:
                scores = [
                    score_place(view.marks, sheet, place, bowls=judged[place.id])
                    for place in places
                ]
                apart.append((seat.taster, _gap([score.total for score in scores])))
        codes = tuple(sorted(place.code for place in places))
        found.append(Twice(codes=codes, apart=tuple(apart)))
    return tuple(found)


def _gap(totals: list[float | None]) -> float | None:
    known = [total for total in totals if total is not None]
    return max(known) - min(known) if len(known) == len(totals) else None
