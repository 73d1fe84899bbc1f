"""Plan a table: draw the codes, seal the key, write the plan down."""

from dataclasses import dataclass, replace
from threading import Lock

from crustbreak.core.errors import Problem, refuse
from crustbreak.core.randomness import SeededRandom
from crustbreak.domain.planning.conditions_input import make_conditions
from crustbreak.domain.planning.layout.places import (
    PlaceDraft,
    lay_out,
    lay_out_numbered,
    with_open_bowl,
)
from crustbreak.domain.planning.layout.taster_shares import check_share, share_out
from crustbreak.domain.planning.layout.tasting_orders import (
    draw_balanced_orders,
    draw_tasting_orders,
)
from crustbreak.domain.planning.plan_request import PlanDraft, Terms, check_draft
from crustbreak.domain.question import Question
from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.keys import Key
from crustbreak.domain.records.numbered_bowls import NumberedBowls
from crustbreak.domain.records.tables import Flight, Screening, Seat, Table
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import WriteAccess
from crustbreak.services.devices.codes import fresh_code
from crustbreak.services.planning.bowl_counts import bowls_of, codes_of
from crustbreak.services.planning.follow_up import check_adding
from crustbreak.services.planning.forecast import course_of, first_round_in, recipe_of

# A key that is pressed twice sends its form twice, in one breath.
ONE_AT_A_TIME = Lock()


def plan_once(lab: Lab, question_id: str, draft: PlanDraft, once: str) -> Table:
    """Plan a table as `plan_table` does; the same form sent again gives the same table.

    Args:  once: what the form bears, its own; empty for none.
    """
    if not once:
        return plan_table(lab, question_id, draft)
    with ONE_AT_A_TIME:
        about = f"plan {once}"
        # Whoever goes back and fixes the plan has another one, on the same form.
        table: Table | None = lab.cache.recall(about, draft)
        if table is None:
            table = plan_table(lab, question_id, draft)
            lab.cache.remember(about, draft, table)
    return table


def check_plan(lab: Lab, question_id: str, draft: PlanDraft) -> tuple[Problem, ...]:
    """Name everything that keeps a table of a question from being planned."""
    question = lab.plugin(question_id).question
    return (
        *check_draft(
            draft,
            lab.sheet(question.sheet),
            least_coffees=question.least_coffees,
            most_coffees=question.most_coffees,
            bowls=question.layout.bowls,
            cut_off_title=question.cut_off_name,
        ),
        *question.check(draft),
        *check_adding(lab, question, draft),
        *check_share(
            draft.share,
            codes=codes_of(lab, question_id, draft),
            tasters=max(1, len(draft.tasters)),
        ),
    )


def plan_table(
    lab: Lab, question_id: str, draft: PlanDraft, *, screening: Screening | None = None
) -> Table:
    """Plan a table for a question.

    What decides is fixed here, before any water: coffees, tasters, cut-off.

    Args:    screening: of which it is a flight.

    Raises:  Unacceptable with every fault of the draft; NotThere for an unknown question.
    """
    question = lab.plugin(question_id).question
    sheet = lab.sheet(question.sheet)
    refuse("The plan", check_plan(lab, question_id, draft))
    bowls = bowls_of(lab, question_id, draft)
    # Ids come from a stream of their own: they are seen on the phones and the draw is not.
    ids = SeededRandom(lab.randomness.seed())
    table_id = ids.identity()
    coffees = _coffees(draft, question, ids)
    laid = _lay_out(question, draft, coffees, bowls=bowls, ids=ids, seed=lab.randomness.seed())
    if question.open_places:
        laid = _with_open(laid, coffees[0], ids.identity())
    recipe = recipe_of(lab, draft.protocol)
    # A phone shows a part of it, so that it is drawn from a seed that is not the key's.
    chance = SeededRandom(lab.randomness.seed())
    draw = draw_balanced_orders if draft.balanced else draw_tasting_orders
    tasting_orders = draw(laid.classes, tasters=len(draft.tasters), chance=chance)
    if draft.share:
        tasting_orders = share_out(tasting_orders, share=draft.share, chance=chance)
    first_s = first_round_in(lab, recipe)
    table = Table(
        id=table_id,
        question=question.id,
        sheet=sheet.ref,
        occasion=draft.occasion,
        flights=(laid.flight,),
        seats=tuple(
            Seat(id=ids.identity(), taster=name, tasting_order=tasting_order)
            for name, tasting_order in zip(draft.tasters, tasting_orders, strict=True)
        ),
        recipe=recipe,
        cut_off=draft.cut_off or 0.0,
        setter=draft.setter,
        planned_at=lab.clock.now(),
        course=course_of(
            lab,
            recipe,
            cups=sum(place.cups for place in laid.flight.places),
            people=draft.people or 1,
            first_s=first_s,
        ),
        first_round_s=first_s,
        is_numbered=draft.numbered,
        conditions=make_conditions(draft.conditions),
        screening=screening,
        asked=question.asked_by(draft).keep(),
        follows=draft.follows,
    )
    if laid.key:
        # The key first: a key without a table tells nothing, a table without a key is lost.
        lab.keys.seal(table.id, laid.key)
    token, code = lab.randomness.secret(), fresh_code(lab)

    def work(records: WriteAccess) -> None:
        records.add_table(table, coffees, token=token, numbered_bowls=laid.numbered_bowls)
        records.add_code(table.id, code, at=table.planned_at)

    lab.repository.write(work)
    return table


@dataclass(frozen=True, slots=True, kw_only=True)
class _Laid:
    """Where things stand, with what tells which coffee is where: a key, or trays and no key.

    classes:  the order class of each place, as they stand.
    """

    flight: Flight
    classes: tuple[int, ...]
    key: Key | None = None
    numbered_bowls: tuple[NumberedBowls, ...] = ()


def _with_open(laid: _Laid, coffee: Coffee, place_id: str) -> _Laid:
    """Let a coffee stand open beside those of the draw."""
    key = laid.key and replace(laid.key, coffee_of={**laid.key.coffee_of, place_id: coffee.id})
    return replace(laid, flight=with_open_bowl(laid.flight, place_id), key=key)


def _coffees(draft: PlanDraft, question: Question, ids: SeededRandom) -> tuple[Coffee, ...]:
    return (
        *(
            Coffee(
                id=ids.identity(),
                name=name,
                price=terms.price,
                kilos=terms.kilos,
                order_class=order_class,
            )
            for name, terms, order_class in zip(
                draft.coffees, _terms(draft), _order_classes(draft, question), strict=True
            )
        ),
        *(
            Coffee(id=ids.identity(), name=name, is_control=True)
            for name in question.extra_coffees(draft)
        ),
    )


def _lay_out(
    question: Question,
    draft: PlanDraft,
    coffees: tuple[Coffee, ...],
    *,
    bowls: int,
    ids: SeededRandom,
    seed: bytes,
) -> _Laid:
    offered = tuple(coffee for coffee in coffees if not coffee.is_control)
    places = question.layout.places
    drafts = _in_classes(places(tuple(coffee.id for coffee in offered), bowls), offered)
    others = places(tuple(coffee.id for coffee in coffees if coffee.is_control), bowls)
    duplicate = question.is_twice(draft)
    if draft.numbered:
        flight, numbered_bowls = lay_out_numbered(
            drafts, ids=ids, seed=seed, duplicate=duplicate, others=others
        )
        classes = tuple(bowl_group.order_class for bowl_group in numbered_bowls)
        return _Laid(flight=flight, classes=classes, numbered_bowls=numbered_bowls)
    flight, key = lay_out(drafts, seed=seed, duplicate=duplicate, others=others)
    class_of = {coffee.id: coffee.order_class for coffee in coffees}
    classes = tuple(class_of[key.coffee_of[place.id]] for place in flight.places)
    return _Laid(flight=flight, classes=classes, key=key)


def _terms(draft: PlanDraft) -> tuple[Terms, ...]:
    return draft.terms or (Terms(),) * len(draft.coffees)


def _order_classes(draft: PlanDraft, question: Question) -> tuple[int, ...]:
    one = (1,) * len(draft.coffees)
    # Classes would stand the bowls of one coffee before those it is compared with, and tell them.
    if draft.fully_random or question.is_single:
        return one
    return draft.order_classes or one


def _in_classes(
    drafts: tuple[PlaceDraft, ...], coffees: tuple[Coffee, ...]
) -> tuple[PlaceDraft, ...]:
    class_of = {coffee.id: coffee.order_class for coffee in coffees}
    return tuple(replace(draft, order_class=class_of[draft.coffee_id]) for draft in drafts)
