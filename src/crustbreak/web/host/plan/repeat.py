"""A plan like an earlier table: the form filled in as it was typed then."""

from collections.abc import Sequence

from crustbreak.core.units import points
from crustbreak.domain.capabilities import HiddenDuplicate, NamedRoles
from crustbreak.domain.planning.layout.tasting_orders import goes_round
from crustbreak.domain.question import Question
from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.tables import Table
from crustbreak.exchange.name_lists import write_offers
from crustbreak.ports.lab import Lab
from crustbreak.services.lab.protocols import every_protocol
from crustbreak.services.lab.settings import lab_settings_of
from crustbreak.services.tables.actions import look_at
from crustbreak.services.tables.planned import coffees_of
from crustbreak.web.host.plan.conditions import usual_conditions


def typed_like(lab: Lab, table_id: str) -> dict[str, str]:
    """Return the fields of the plan form as an earlier table was planned; NotThere without one.

    What decides is the figure that held in the end, wherever it was moved to.
    """
    table, state = look_at(lab, table_id)
    question = lab.plugin(table.question).question
    coffees = lab.repository.read(lambda records: coffees_of(lab, records, table.id))
    offered = [coffee for coffee in coffees if not coffee.is_control]
    return {
        "once": lab.randomness.secret(),
        "occasion": table.occasion,
        **_coffees_typed(question, offered),
        **question.asked_of(table).typed(),
        "tasters": "\n".join(seat.taster for seat in table.seats),
        "setter": table.setter,
        "cut_off": points(state.cut_off),
        "control": "\n".join(coffee.name for coffee in coffees if coffee.is_control),
        "double": "yes" if _is_twice(question, table, coffees) else "",
        "bowls": _bowls_each(question, table, coffees),
        "share": _share(table),
        "balanced": "yes" if _is_balanced(table) else "",
        "people": str(table.people),
        "numbered": "yes" if table.is_numbered else "",
        "protocol": protocol_like(lab, table),
        # How old roast and grounds are, and what was swallowed, is another matter every day.
        **usual_conditions(),
    }


def _coffees_typed(question: Question, offered: Sequence[Coffee]) -> dict[str, str]:
    if not question.can(NamedRoles):
        return {"coffees": write_offers(offered)}
    # One by one: the fields are numbered from 1.
    return {f"coffee_{nth}": coffee.name for nth, coffee in enumerate(offered, start=1)}


def _is_twice(question: Question, table: Table, coffees: Sequence[Coffee]) -> bool:
    return question.can(HiddenDuplicate) is not None and len(table.blind) > len(coffees)


def _bowls_each(question: Question, table: Table, coffees: Sequence[Coffee]) -> str:
    if not question.is_single:
        return str(table.places[0].cups)
    bowls = len(table.blind) // len(coffees)
    # As many as follow from what was asked are not asked for.
    usual = question.layout.usual_bowls(question.asked_of(table))
    return "" if bowls == usual else str(bowls)


def _is_balanced(table: Table) -> bool:
    tasting_orders = [seat.tasting_order for seat in table.seats if seat.tasting_order]
    return len(tasting_orders) > 1 and not _share(table) and not goes_round(tasting_orders)


def _share(table: Table) -> str:
    most = max(len(table.tasted_by(seat)) for seat in table.seats)
    return "" if most == len(table.blind) else str(most)


def protocol_like(lab: Lab, table: Table) -> str:
    """Return the protocol of a table's recipe; the lab's where none has it any more."""
    known = every_protocol(lab).values()
    same = (each.ref for each in known if each.recipe(pace_s=table.recipe.pace_s) == table.recipe)
    found = next(same, None)
    return lab_settings_of(lab).protocol if found is None else found
