"""A screening at more offers than one table takes, and how they stand after it."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from functools import partial

from crustbreak.analysis.dataset import Dataset
from crustbreak.analysis.screening import Ranking, rank_flights
from crustbreak.core.errors import NotNow, NotThere, Problem, refuse
from crustbreak.core.randomness import SeededRandom
from crustbreak.domain.capabilities import TwoStages
from crustbreak.domain.planning.layout.flights import draw_flights, flight_sizes
from crustbreak.domain.planning.plan_request import PlanDraft, check_draft
from crustbreak.domain.question import Question
from crustbreak.domain.records.tables import Screening, Table
from crustbreak.domain.tables.transitions import FlightState
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import ReadAccess
from crustbreak.services.documents import settings_version
from crustbreak.services.planning.plan import ONE_AT_A_TIME, check_plan, plan_table
from crustbreak.services.results.dataset import MOST_TABLES, dataset_with_history
from crustbreak.services.results.decide import (
    coffees_to_name,
    keep_decision,
    prepare_decision,
)
from crustbreak.services.tables.planned import coffees_of
from crustbreak.services.tables.views import list_flights

UNCOVERED = (FlightState.UNCOVERED, FlightState.DECIDED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """How offers that are too many for one table would be looked at.

    sizes:     coffees of each flight.
    by_class:  lines of dashes part the flights; else chance does.
    bridged:   a control stands in each.
    """

    sizes: tuple[int, ...]
    by_class: bool
    bridged: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ScreeningView:
    """A screening, flight by flight.

    flights:   with where each stands, in their order.
    bridged:   a control stands in each.
    rankings:  of what is uncovered: one over all, or one for each flight where they must not be
               ranked together, with the flight's number, 0 for all.
    """

    first: Screening
    flights: tuple[tuple[Table, FlightState], ...]
    bridged: bool
    rankings: tuple[tuple[int, Ranking], ...]

    @property
    def is_common(self) -> bool:
        """Return whether all flights may be ranked together."""
        return self.bridged or not self.first.by_class


def offer_of(lab: Lab, question_id: str, draft: PlanDraft) -> Offer | None:
    """Return in words how a draft would be looked at in flights; None where one table takes it."""
    question = lab.plugin(question_id).question
    stages = question.can(TwoStages)
    if not stages or not question.most_coffees < len(draft.coffees) <= stages.most_offers:
        return None
    by_class = _is_by_class(draft)
    sizes = flight_sizes(_classes(draft), least=question.least_coffees, by_class=by_class)
    return Offer(sizes=sizes, by_class=by_class, bridged=bool(draft.controls))


def one_table_of(lab: Lab, question_id: str, draft: PlanDraft) -> PlanDraft:
    """Return the largest flight that a draft would be, without names drawn.

    Else the draft itself.
    """
    offer = offer_of(lab, question_id, draft)
    if offer is None:
        return draft
    bowls = lab.plugin(question_id).question.layout.bowls[-1]
    return replace(draft, coffees=draft.coffees[: max(offer.sizes)], bowls=bowls, duplicate=False)


def check_screening(lab: Lab, question_id: str, draft: PlanDraft) -> tuple[Problem, ...]:
    """Name everything that keeps a screening from being planned.

    Raises:  NotThere for a question without two stages.
    """
    question = lab.plugin(question_id).question
    stages = _stages_of(question)
    return check_draft(
        draft,
        lab.sheet(question.sheet),
        least_coffees=question.most_coffees + 1,
        most_coffees=stages.most_offers,
        bowls=question.layout.bowls,
    )


def plan_screening(lab: Lab, question_id: str, draft: PlanDraft, once: str = "") -> Screening:
    """Plan all flights of a screening, one bowl of each coffee.

    Args:    once: what the form bears, its own: sent again it gives the same look.
    Raises:  Unacceptable with every fault of the draft; NotThere for an unknown question.
    """
    with ONE_AT_A_TIME:
        about = f"first look {once}"
        known: Screening | None = lab.cache.recall(about, draft) if once else None
        if known is None:
            known = _plan(lab, lab.plugin(question_id).question, draft)
            lab.cache.remember(about, draft, known)
    return known


def _plan(lab: Lab, question: Question, draft: PlanDraft) -> Screening:
    # All faults before the first flight is drawn: half a look is none.
    refuse("The plan", check_screening(lab, question.id, draft))
    chance, by_class = SeededRandom(lab.randomness.seed()), _is_by_class(draft)
    flights = draw_flights(
        _classes(draft), least=question.least_coffees, by_class=by_class, chance=chance
    )
    screening = Screening(
        id=SeededRandom(lab.randomness.seed()).identity(),
        nth=1,
        of=len(flights),
        by_class=by_class,
        occasion=draft.occasion or "First look",
    )
    single = replace(draft, bowls=question.layout.bowls[-1])
    drafts = [_flight(single, screening, nth, numbers) for nth, numbers in enumerate(flights, 1)]
    faults = (fault for each in drafts for fault in check_plan(lab, question.id, each))
    refuse("The plan", tuple(dict.fromkeys(faults)))
    for nth, each in enumerate(drafts, start=1):
        plan_table(lab, question.id, each, screening=replace(screening, nth=nth))
    return screening


def _stages_of(question: Question) -> TwoStages:
    stages = question.can(TwoStages)
    if stages is None:
        raise NotThere("This question has no first look.", hint="Plan one table.")
    return stages


def _flight(draft: PlanDraft, screening: Screening, nth: int, numbers: Sequence[int]) -> PlanDraft:
    return replace(
        draft,
        occasion=f"{screening.occasion}, flight {nth} of {screening.of}",
        coffees=tuple(draft.coffees[number] for number in numbers),
        terms=tuple(draft.terms[number] for number in numbers if draft.terms),
        order_classes=tuple(_classes(draft)[number] for number in numbers),
        duplicate=False,
    )


def _classes(draft: PlanDraft) -> tuple[int, ...]:
    return draft.order_classes or (1,) * len(draft.coffees)


def _is_by_class(draft: PlanDraft) -> bool:
    return len(set(draft.order_classes)) > 1 and not draft.fully_random


def screenings_among(
    tables: Sequence[tuple[Table, FlightState]],
) -> tuple[tuple[Screening, int], ...]:
    """Return the screenings among tables, in their order, with how many flights are uncovered."""
    found: dict[str, tuple[Screening, int]] = {}
    for table, flight in tables:
        if table.screening:
            screening, uncovered = found.get(table.screening.id, (table.screening, 0))
            found[screening.id] = (screening, uncovered + (flight in UNCOVERED))
    return tuple(found.values())


def view_screening(lab: Lab, look_id: str, *, best: int) -> ScreeningView:
    """Return how the coffees of a screening stand; nothing of flights whose codes are sealed.

    Args:    best: how many will be bought, at least 1.
    Raises:  NotThere for an unknown look.
    """
    flights = list_flights(lab, look_id)
    if not flights:
        raise NotThere("There is no such first look.", hint="Start from today's page.")
    first = flights[0][0].screening
    assert first is not None
    coffees = lab.repository.read(lambda records: coffees_of(lab, records, flights[0][0].id))
    bridged = any(coffee.is_control for coffee in coffees)
    screening = ScreeningView(first=first, flights=flights, bridged=bridged, rankings=())
    return replace(screening, rankings=_rankings(lab, screening, best=best))


def decide_screening(
    lab: Lab, look_id: str, taken: Collection[str], *, reason: str, decided_by: str
) -> int:
    """Return every flight that waits for one its verdict: what is taken over, and what is not.

    Each is kept with its own table's evidence, as if it had been given there; all in one piece of
    work, so that a fault leaves none decided.

    Args:     taken: ids of the coffees that are tasted again.
    Returns:  how many flights were decided.
    Raises:   Unacceptable without a reason or a name; NotNow when no flight waits.
    """
    screening = view_screening(lab, look_id, best=1)
    waiting = [table for table, flight in screening.flights if flight == FlightState.UNCOVERED]
    if not waiting:
        raise NotNow("No flight waits for a verdict.", hint="Uncover one first.")
    question = lab.plugin(waiting[0].question).question
    stages = _stages_of(question)
    decisions = []
    for table in waiting:
        coffees = lab.repository.read(partial(coffees_to_name, lab, table))
        words = {
            each.name: stages.goes_on if each.id in taken else stages.stays
            for each in coffees
            if not each.is_control
        }
        decisions.append(prepare_decision(lab, table, words, reason=reason, decided_by=decided_by))
    # All of them or none: half a look decided would be another look.
    lab.repository.write(lambda records: [keep_decision(lab, records, each) for each in decisions])
    for table in waiting:
        lab.notifier.ring(table.id)
    return len(waiting)


def _rankings(lab: Lab, screening: ScreeningView, *, best: int) -> tuple[tuple[int, Ranking], ...]:
    open_ = [table for table, flight in screening.flights if flight in UNCOVERED]
    if not open_:
        return ()
    about = f"first look {screening.first.id}, best {best}"
    version = lab.repository.read(partial(_version, open_))
    known: tuple[tuple[int, Ranking], ...] | None = lab.cache.recall(about, version)
    if known is None:
        known = _rank_all(lab, screening, open_, best=best)
        lab.cache.remember(about, version, known)
    return known


def _version(flights: Sequence[Table], records: ReadAccess) -> tuple[object, ...]:
    """Return what changes whenever the looks at flights or at the tables before them do."""
    mine = records.listed([table.id for table in flights])
    before = [
        records.uncovered_tables(each.sheet, before=each.uncovered_at, limit=MOST_TABLES)
        for each in mine
    ]
    return (mine, before, settings_version(records))


def _rank_all(
    lab: Lab, screening: ScreeningView, open_: Sequence[Table], *, best: int
) -> tuple[tuple[int, Ranking], ...]:
    frames = [dataset_with_history(lab, table) for table in open_]
    if screening.is_common:
        return ((0, _rank(_side_by_side(frames), conditions=len(open_) - 1, best=best)),)
    return tuple(
        (nth, _rank(dataset, conditions=0, best=best))
        for table, dataset in zip(open_, frames, strict=True)
        for nth in (table.screening.nth if table.screening else 0,)
    )


def _side_by_side(flights: Sequence[Dataset]) -> Dataset:
    """Put the others first in the history of the last, so that their coffees can be asked for."""
    *others, last = sorted(flights, key=lambda dataset: (str(dataset.at), dataset.seed))
    seeds = {dataset.seed for dataset in others}
    rest = (each for each in last.history if each.seed not in seeds)
    return replace(last, history=(*(replace(each, history=()) for each in others), *rest))


def _rank(dataset: Dataset, *, conditions: int, best: int) -> Ranking:
    if dataset.priors is None:
        raise NotThere("Nothing is assumed of this sheet's points.", hint="Rank by hand.")
    return rank_flights(dataset, dataset.priors, conditions=conditions, best=best)
