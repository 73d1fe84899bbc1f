"""What a plan takes and what is in its way, said before anything is drawn or poured."""

from crustbreak.analysis.foreseen import Foreseen, Planned, bench_of, first_round_of, foresee
from crustbreak.analysis.scheduling.fitting import Misfit, plan_bench
from crustbreak.domain.planning.drafts import PlanDraft
from crustbreak.domain.records.recipes import Recipe
from crustbreak.domain.records.tables import CupTimes, Table
from crustbreak.domain.sheets.definition import Sheet
from crustbreak.ports.lab import Lab
from crustbreak.services.settling import house_of
from crustbreak.services.telling import what_it_can_tell

# The dry and the wet grounds are smelled; no spoon goes into a bowl.
SMELLED = "smell"


def recipe_of(lab: Lab, protocol: str) -> Recipe:
    """Give a protocol's recipe, or that of the house's own, at the house's pace."""
    house = house_of(lab)
    return lab.protocol(protocol or house.protocol).recipe(pace_s=int(house.pace_s))


def foresee_draft(lab: Lab, question_id: str, draft: PlanDraft) -> Foreseen | None:
    """Say what a draft would take; None while it names no coffees or nobody who tastes."""
    question = lab.kit(question_id).question
    codes = question.places(tuple(draft.coffees))
    if not codes or not draft.tasters:
        return None
    doubled = draft.double and question.doubles
    controls = question.places(draft.controls) if question.doubles else ()
    return _foresee(
        lab,
        question_id,
        recipe_of(lab, draft.protocol),
        places=len(codes) + len(controls) + doubled,
        tasters=len(draft.tasters),
        doubled=doubled,
    )


def foresee_table(lab: Lab, table: Table) -> Foreseen:
    """Say what a planned table takes."""
    coffees = lab.books.read(lambda books: books.coffees(table.id))
    return _foresee(
        lab,
        table.question,
        table.recipe,
        places=len(table.places),
        tasters=len(table.seats),
        doubled=len(table.places) > len(coffees),
    )


def course_of(lab: Lab, recipe: Recipe, *, cups: int) -> tuple[CupTimes, ...]:
    """Give when each bowl is poured, broken and skimmed by one person.

    What takes longer than it should is still poured in the best order that was found: the page
    says so, and a person decides.
    """
    plan = plan_bench(bench_of(house_of(lab), recipe, cups=cups))
    schedule = plan.quickest if isinstance(plan, Misfit) else plan
    return tuple(
        CupTimes(pour_s=cup.pour.from_s, break_s=cup.break_.from_s, skim_s=cup.skim.from_s)
        for cup in schedule.cups
    )


def first_round_in(lab: Lab, recipe: Recipe) -> int:
    """Give from when on a bowl of this recipe may be tasted, s from its pour."""
    return first_round_of(house_of(lab), recipe)


def _foresee(
    lab: Lab, question_id: str, recipe: Recipe, *, places: int, tasters: int, doubled: bool
) -> Foreseen:
    sheet, house = lab.sheet(lab.kit(question_id).question.sheet), house_of(lab)
    planned = Planned(
        recipe=recipe,
        places=places,
        cups=sheet.cups,
        tasters=tasters,
        rounds=_tasted(sheet),
        doubled=doubled,
        believing=_believing(lab, question_id, tasters=tasters),
    )
    # A page is looked at more often than its table is changed.
    about = f"foreseen of {question_id}"
    told: Foreseen | None = lab.hearing.recall(about, (house, planned))
    if told is None:
        told = foresee(house, planned)
        lab.hearing.remember(about, (house, planned), told)
    return told


def _tasted(sheet: Sheet) -> int:
    return sum(each.id != SMELLED for each in sheet.rounds)


def _believing(lab: Lab, question_id: str, *, tasters: int) -> tuple[float, int] | None:
    told = what_it_can_tell(lab, question_id)
    if not told:
        return None
    nearest = min(told, key=lambda gap: abs(gap.tasters - tasters))
    return nearest.worth_believing, nearest.tasters
