"""A further table that adds to the answer of an earlier one, and counts as its next look."""

from functools import partial

from crustbreak.core.errors import NotThere, Problem
from crustbreak.domain.capabilities import FollowUp
from crustbreak.domain.planning.plan_request import PlanDraft, as_compared
from crustbreak.domain.question import Question
from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.blinding import may_see_totals
from crustbreak.domain.tables.state import TableState
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import ReadAccess
from crustbreak.services.tables.actions import look_at
from crustbreak.services.tables.planned import coffees_of, table_of

START_ANEW = "Plan a table by itself, with an answer of its own."


def added_to(lab: Lab, table: Table) -> Table | None:
    """Return the table that adds to the answer of this one; None without, or if it was given up."""

    def ask(records: ReadAccess) -> Table | None:
        going = (each for each in records.following(table.id) if each.ended != "abandoned")
        found = next(going, None)
        return table_of(lab, records, found.id) if found else None

    return lab.repository.read(ask)


def may_be_added_to(lab: Lab, table: Table, state: TableState) -> bool:
    """Return whether another table may add to the answer of this one now: each is added to once."""
    question = lab.plugin(table.question).question
    may_add = question.can(FollowUp) is not None and may_see_totals(state.flight)
    return may_add and added_to(lab, table) is None


def stage_number(lab: Lab, table_id: str) -> int:
    """Return which look at one answer a table is, from 1; 0 where there is no such table.

    Each adds to one that was planned before it, so that they end.
    """
    number, following = 0, table_id
    while following:
        try:
            following = lab.repository.read(partial(_followed, lab, following))
        except NotThere:
            break
        number += 1
    return number


def check_adding(lab: Lab, question: Question, draft: PlanDraft) -> tuple[Problem, ...]:
    """Name what keeps a draft from adding to the answer of an earlier table.

    It asks the same: of the same coffees, within the same figure, as surely. What would be another
    question is another answer, and its chance of a false word another one.
    """
    if not draft.follows:
        return ()
    try:
        table, state = look_at(lab, draft.follows)
    except NotThere:
        return (_problem("a table that there is", "none", START_ANEW),)
    coffees = lab.repository.read(lambda records: coffees_of(lab, records, table.id))
    names = [coffee.name for coffee in coffees]
    after = added_to(lab, table)
    may_add = question.can(FollowUp) is not None and table.question == question.id
    asked, before = question.asked_by(draft), question.asked_of(table)
    rules = (
        (may_add, "a table of the same question", ""),
        (may_see_totals(state.flight), "a table whose codes have names", f"it is {state.flight}"),
        (after is None, "a table that none was added to", "one was added already"),
        (
            [as_compared(name) for name in draft.coffees] == [as_compared(name) for name in names],
            f"the same coffees: {', '.join(names)}",
            ", ".join(draft.coffees),
        ),
        (
            draft.cut_off == state.cut_off,
            f"the same figure: {state.cut_off:g}",
            "another" if draft.cut_off is None else f"{draft.cut_off:g}",
        ),
        (asked == before, f"asked the same: {before.text()}", asked.text()),
    )
    return tuple(
        _problem(rule, found or "another", START_ANEW) for holds, rule, found in rules if not holds
    )


def _problem(rule: str, found: str, remedy: str) -> Problem:
    return Problem(where="Adds to an earlier table", rule=rule, found=found, remedy=remedy)


def _followed(lab: Lab, table_id: str, records: ReadAccess) -> str:
    return table_of(lab, records, table_id).follows
