"""A first look at more offers than one table takes, and how they stand after it."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from crustbreak.analysis.dataset import Frame
from crustbreak.analysis.screening import Ranking, rank_flights
from crustbreak.core.errors import NotNow, NotThere, Problem, refuse
from crustbreak.core.randomness import Chance
from crustbreak.domain.planning.layout.flights import draw_flights, flight_sizes
from crustbreak.domain.planning.plan_request import PlanDraft, check_draft
from crustbreak.domain.question import Question
from crustbreak.domain.records.tables import FirstLook, Table
from crustbreak.domain.tables.transitions import FlightState
from crustbreak.ports.lab import Lab
from crustbreak.services.planning.plan import ONE_AT_A_TIME, check_plan, plan_table
from crustbreak.services.results.dataset import frame_of, frame_with_history
from crustbreak.services.results.decide import decide
from crustbreak.services.tables.views import list_tables

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
class Look:
    """A first look, flight by flight.

    flights:   with where each stands, in their order.
    bridged:   a control stands in each.
    rankings:  of what is uncovered: one over all, or one for each flight where they must not be
               ranked together, with the flight's number, 0 for all.
    """

    first: FirstLook
    flights: tuple[tuple[Table, FlightState], ...]
    bridged: bool
    rankings: tuple[tuple[int, Ranking], ...]

    @property
    def is_common(self) -> bool:
        """Tell whether all flights may be ranked together."""
        return self.bridged or not self.first.by_class


def offer_of(lab: Lab, question_id: str, draft: PlanDraft) -> Offer | None:
    """Say how a draft would be looked at in flights; None where one table takes it."""
    question = lab.kit(question_id).question
    if not question.most_coffees < len(draft.coffees) <= question.most_offers:
        return None
    by_class = _is_by_class(draft)
    sizes = flight_sizes(_classes(draft), least=question.least_coffees, by_class=by_class)
    return Offer(sizes=sizes, by_class=by_class, bridged=bool(draft.controls))


def one_table_of(lab: Lab, question_id: str, draft: PlanDraft) -> PlanDraft:
    """Give the largest flight that a draft would be, without names drawn; else the draft itself."""
    offer = offer_of(lab, question_id, draft)
    if offer is None:
        return draft
    bowls = lab.kit(question_id).question.bowls[-1]
    return replace(draft, coffees=draft.coffees[: max(offer.sizes)], bowls=bowls, double=False)


def check_first_look(lab: Lab, question_id: str, draft: PlanDraft) -> tuple[Problem, ...]:
    """Name everything that keeps a first look from being planned."""
    question = lab.kit(question_id).question
    return check_draft(
        draft,
        lab.sheet(question.sheet),
        least_coffees=question.most_coffees + 1,
        most_coffees=question.most_offers,
        bowls=question.bowls,
    )


def plan_first_look(lab: Lab, question_id: str, draft: PlanDraft, once: str = "") -> FirstLook:
    """Plan all flights of a first look, one bowl of each coffee.

    Args:    once: what the form bears, its own: sent again it gives the same look.
    Raises:  Unacceptable with every fault of the draft; NotThere for an unknown question.
    """
    with ONE_AT_A_TIME:
        about = f"first look {once}"
        known: FirstLook | None = lab.cache.recall(about, draft) if once else None
        if known is None:
            known = _plan(lab, lab.kit(question_id).question, draft)
            lab.cache.remember(about, draft, known)
    return known


def _plan(lab: Lab, question: Question, draft: PlanDraft) -> FirstLook:
    if not question.most_offers:
        raise NotThere("This question has no first look.", hint="Plan one table.")
    # All faults before the first flight is drawn: half a look is none.
    refuse("The plan", check_first_look(lab, question.id, draft))
    chance, by_class = Chance(lab.dice.seed()), _is_by_class(draft)
    flights = draw_flights(
        _classes(draft), least=question.least_coffees, by_class=by_class, chance=chance
    )
    look = FirstLook(
        id=Chance(lab.dice.seed()).identity(),
        nth=1,
        of=len(flights),
        by_class=by_class,
        occasion=draft.occasion or "First look",
    )
    single = replace(draft, bowls=question.bowls[-1])
    drafts = [_flight(single, look, nth, numbers) for nth, numbers in enumerate(flights, 1)]
    faults = (fault for each in drafts for fault in check_plan(lab, question.id, each))
    refuse("The plan", tuple(dict.fromkeys(faults)))
    for nth, each in enumerate(drafts, start=1):
        plan_table(lab, question.id, each, first_look=replace(look, nth=nth))
    return look


def _flight(draft: PlanDraft, look: FirstLook, nth: int, numbers: Sequence[int]) -> PlanDraft:
    return replace(
        draft,
        occasion=f"{look.occasion}, flight {nth} of {look.of}",
        coffees=tuple(draft.coffees[number] for number in numbers),
        terms=tuple(draft.terms[number] for number in numbers if draft.terms),
        order_classes=tuple(_classes(draft)[number] for number in numbers),
        double=False,
    )


def _classes(draft: PlanDraft) -> tuple[int, ...]:
    return draft.order_classes or (1,) * len(draft.coffees)


def _is_by_class(draft: PlanDraft) -> bool:
    return len(set(draft.order_classes)) > 1 and not draft.fully_random


def first_looks_among(
    tables: Sequence[tuple[Table, FlightState]],
) -> tuple[tuple[FirstLook, int], ...]:
    """Give the first looks among tables, in their order, with how many flights are uncovered."""
    found: dict[str, tuple[FirstLook, int]] = {}
    for table, flight in tables:
        if table.first_look:
            look, uncovered = found.get(table.first_look.id, (table.first_look, 0))
            found[look.id] = (look, uncovered + (flight in UNCOVERED))
    return tuple(found.values())


def view_first_look(lab: Lab, look_id: str, *, best: int) -> Look:
    """Give how the coffees of a first look stand; nothing of flights whose codes are sealed.

    Args:    best: how many will be bought, at least 1.
    Raises:  NotThere for an unknown look.
    """
    flights = tuple(
        sorted(
            (
                (table, flight)
                for table, flight in list_tables(lab)
                if table.first_look and table.first_look.id == look_id
            ),
            key=lambda each: each[0].first_look.nth if each[0].first_look else 0,
        )
    )
    if not flights:
        raise NotThere("There is no such first look.", hint="Start from today's page.")
    first = flights[0][0].first_look
    assert first is not None
    coffees = lab.books.read(lambda books: books.coffees(flights[0][0].id))
    bridged = any(coffee.is_control for coffee in coffees)
    look = Look(first=first, flights=flights, bridged=bridged, rankings=())
    return replace(look, rankings=_rankings(lab, look, best=best))


def decide_first_look(
    lab: Lab, look_id: str, taken: Collection[str], *, reason: str, decided_by: str
) -> int:
    """Give every flight that waits for one its verdict: what is taken over, and what is not.

    Each is kept with its own table's evidence, as if it had been given there.

    Args:     taken: ids of the coffees that are tasted again.
    Returns:  how many flights were decided.
    Raises:   Unacceptable without a reason or a name; NotNow when no flight waits.
    """
    look = view_first_look(lab, look_id, best=1)
    waiting = [table for table, flight in look.flights if flight == FlightState.UNCOVERED]
    if not waiting:
        raise NotNow("No flight waits for a verdict.", hint="Uncover one first.")
    question = lab.kit(waiting[0].question).question
    goes_on, stays = question.stage_words
    for table in waiting:
        coffees = frame_of(lab, table).coffees
        words = {each.name: goes_on if each.id in taken else stays for each in coffees}
        decide(lab, table, words, reason=reason, decided_by=decided_by)
    return len(waiting)


def _rankings(lab: Lab, look: Look, *, best: int) -> tuple[tuple[int, Ranking], ...]:
    open_ = [table for table, flight in look.flights if flight in UNCOVERED]
    if not open_:
        return ()
    frames = [frame_with_history(lab, table) for table in open_]
    if look.is_common:
        together = _side_by_side(frames)
        return ((0, _rank(lab, look, 0, together, beside=len(open_) - 1, best=best)),)
    return tuple(
        (nth, _rank(lab, look, nth, frame, beside=0, best=best))
        for table, frame in zip(open_, frames, strict=True)
        for nth in (table.first_look.nth if table.first_look else 0,)
    )


def _side_by_side(flights: Sequence[Frame]) -> Frame:
    """Put the others first in the history of the last, so that their coffees can be asked for."""
    *others, last = sorted(flights, key=lambda frame: (str(frame.at), frame.seed))
    seeds = {frame.seed for frame in others}
    rest = (each for each in last.history if each.seed not in seeds)
    return replace(last, history=(*(replace(each, history=()) for each in others), *rest))


def _rank(lab: Lab, look: Look, nth: int, frame: Frame, *, beside: int, best: int) -> Ranking:
    about = f"first look {look.first.id}, {nth}, best {best}"
    known: Ranking | None = lab.cache.recall(about, frame)
    if known is None:
        priors = frame.priors
        if priors is None:
            raise NotThere("Nothing is assumed of this sheet's points.", hint="Rank by hand.")
        known = rank_flights(frame, priors, beside=beside, best=best)
        lab.cache.remember(about, frame, known)
    return known
