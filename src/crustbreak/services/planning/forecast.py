"""What a plan takes and what is in its way, said before anything is drawn or poured."""

from dataclasses import replace

from crustbreak.analysis.forecast import (
    Forecast,
    TableSpec,
    bench_of,
    first_round_of,
    forecast_table_facts,
)
from crustbreak.analysis.scheduling.fitting import Misfit, plan_bench
from crustbreak.core.errors import refuse
from crustbreak.domain.capabilities import HiddenDuplicate
from crustbreak.domain.planning.conditions_input import check_conditions, make_conditions
from crustbreak.domain.planning.plan_request import PlanDraft
from crustbreak.domain.records.recipes import Recipe
from crustbreak.domain.records.tables import CupTimes, Table
from crustbreak.ports.lab import Lab
from crustbreak.services.lab.protocols import protocol_of
from crustbreak.services.lab.settings import lab_settings_of
from crustbreak.services.planning.bowl_counts import (
    bowls_of,
    codes_of,
    cups_of,
    rounds_of,
)
from crustbreak.services.planning.power import detectable_texts
from crustbreak.services.tables.planned import coffees_of


def recipe_of(lab: Lab, protocol: str) -> Recipe:
    """Return a protocol's recipe, or that of the lab's own, at the lab's pace."""
    lab_settings = lab_settings_of(lab)
    return protocol_of(lab, protocol or lab_settings.protocol).recipe(
        pace_s=int(lab_settings.pace_s)
    )


def forecast_draft(lab: Lab, question_id: str, draft: PlanDraft) -> Forecast | None:
    """Return in words what a draft would take; None while it names no coffees or nobody who tastes.

    Raises:  Unacceptable for a figure beside it that is none, and for a table nobody could pour.
    """
    if not draft.coffees or not draft.tasters:
        return None
    refuse("The plan", check_conditions(draft.conditions))
    question = lab.plugin(question_id).question
    return _forecast(
        lab,
        question_id,
        TableSpec(
            recipe=recipe_of(lab, draft.protocol),
            places=codes_of(lab, question_id, draft) + question.open_places,
            cups=cups_of(lab, question_id, draft),
            codes_each=question.layout.codes_each(
                bowls_of(lab, question_id, draft), opened=question.open_places
            ),
            tasters=len(draft.tasters),
            rounds=rounds_of(lab, question_id),
            doubled=question.is_twice(draft),
            people=draft.people or 1,
            share=draft.share or 0,
            conditions=make_conditions(draft.conditions),
        ),
    )


def forecast_table(lab: Lab, table: Table) -> Forecast:
    """Return in words what a planned table takes."""
    coffees = lab.repository.read(lambda records: coffees_of(lab, records, table.id))
    question = lab.plugin(table.question).question
    return _forecast(
        lab,
        table.question,
        TableSpec(
            recipe=table.recipe,
            places=len(table.places),
            cups=table.places[0].cups,
            tasters=len(table.seats),
            rounds=rounds_of(lab, table.question),
            doubled=question.can(HiddenDuplicate) is not None and len(table.blind) > len(coffees),
            codes_each=question.layout.codes_each(
                len(table.blind) // len(coffees), opened=question.open_places
            ),
            people=table.people,
            conditions=table.conditions,
            share=max(len(table.tasted_by(seat)) for seat in table.seats),
        ),
    )


def course_of(
    lab: Lab, recipe: Recipe, *, cups: int, people: int = 1, first_s: int | None = None
) -> tuple[CupTimes, ...]:
    """Return when each bowl is poured, broken and skimmed, and by whom.

    Args:  first_s: from when on the first may be tasted, where it is known already.

    What takes longer than it should is still poured in the best order that was found: the page
    says so, and a person decides.
    """
    plan = plan_bench(
        bench_of(lab_settings_of(lab), recipe, cups=cups, people=people, first_s=first_s)
    )
    schedule = plan.quickest if isinstance(plan, Misfit) else plan
    return tuple(
        CupTimes(
            pour_s=cup.pour.from_s,
            break_s=cup.break_.from_s,
            skim_s=cup.skim.from_s,
            pour_by=cup.pour.person,
            break_by=cup.break_.person,
            skim_by=cup.skim.person,
        )
        for cup in schedule.cups
    )


def first_round_in(lab: Lab, recipe: Recipe) -> int:
    """Return from when on a bowl of this recipe may be tasted, s from its pour."""
    return first_round_of(lab_settings_of(lab), recipe)


def _forecast(lab: Lab, question_id: str, asked: TableSpec) -> Forecast:
    lab_settings = lab_settings_of(lab)
    planned = replace(asked, believing=_believing(lab, question_id, asked))
    # A page is looked at more often than its table is changed.
    about = f"foreseen of {question_id}, {hash(planned)}"
    told: Forecast | None = lab.cache.recall(about, (lab_settings, planned))
    if told is None:
        told = forecast_table_facts(lab_settings, planned)
        lab.cache.remember(about, (lab_settings, planned), told)
    return told


def _believing(lab: Lab, question_id: str, asked: TableSpec) -> tuple[float, int] | None:
    told = detectable_texts(lab, question_id, bowls=asked.cups)
    if not told or lab.plugin(question_id).forecast:
        return None
    nearest = min(told, key=lambda gap: abs(gap.tasters - asked.tasters_a_code))
    return nearest.worth_believing, nearest.tasters
