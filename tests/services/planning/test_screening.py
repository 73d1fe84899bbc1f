"""Thirty-eight offers, three tasters, two mornings: buy three, and say how sure."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any, TypeVar

import pytest
from at_the_table import StandingClock
from whole_tables import taste_whole

from crustbreak.core.errors import NotNow, NotThere, Unacceptable
from crustbreak.domain.planning.plan_request import PlanDraft, Terms
from crustbreak.domain.records.tables import Screening
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import Repository, WriteAccess
from crustbreak.services.planning.plan import plan_table
from crustbreak.services.planning.screening import (
    Offer,
    ScreeningView,
    check_screening,
    decide_screening,
    offer_of,
    one_table_of,
    plan_screening,
    screenings_among,
    view_screening,
)
from crustbreak.services.results.decide import decide, evidence_of, memo_of, subjects_to_decide
from crustbreak.services.tables.actions import look_at
from crustbreak.services.tables.cut_off import move_cut_off
from crustbreak.services.tables.views import list_tables

T = TypeVar("T")

OFFERS = tuple(
    f"{hill} {kind}"
    for hill in ("Marrow", "Sallow", "Fen", "Tarn", "Harrow", "Venn", "Ashlund", "Ebble", "Corrie")
    for kind in ("early", "late", "washed", "natural", "honey")
)[:38]
# The best is six points over the last, and the three best stand apart.
TRUTH = {name: 84.0 - nth / 8 for nth, name in enumerate(OFFERS)}
TRUTH |= {OFFERS[5]: 88.0, OFFERS[17]: 87.5, OFFERS[30]: 87.0, "Old Post": 83.0}
THREE = {OFFERS[5], OFFERS[17], OFFERS[30]}


def draft(**changed: Any) -> PlanDraft:
    asked: dict[str, Any] = {
        "occasion": "Spring flood",
        "coffees": OFFERS,
        "terms": tuple(Terms(price=7.0, kilos=600.0) for _ in OFFERS),
        "tasters": ("Odile", "Anouk", "Ines"),
        "cut_off": 84.0,
        "setter": "Piet",
        "controls": ("Old Post",),
    }
    return PlanDraft(**{**asked, **changed})


def tasted(lab: Lab, clock: StandingClock, first: Screening, upto: int) -> None:
    """Taste the first flights, one after the other."""
    flights = view_screening(lab, first.id, best=3).flights
    for nth, (table, flight) in enumerate(flights[:upto]):
        if flight == "planned":
            taste_whole(lab, table, TRUTH, look_sd=0.6, seed=nth)
            clock.pass_seconds(3600)


def test_offers_are_looked_at_in_flights_where_they_are_too_many_for_a_table(lab: Lab) -> None:
    offer = offer_of(lab, "choose", draft())

    assert isinstance(offer, Offer)
    assert (sum(offer.sizes), len(offer.sizes), max(offer.sizes)) == (38, 4, 10)
    assert (offer.by_class, offer.bridged) == (False, True)
    assert offer_of(lab, "choose", draft(coffees=OFFERS[:14], terms=())) is None
    assert offer_of(lab, "choose", draft(coffees=tuple(map(str, range(49))), terms=())) is None
    assert len(one_table_of(lab, "choose", draft()).coffees) == 10
    assert one_table_of(lab, "choose", draft(coffees=OFFERS[:5])).bowls is None


def test_every_flight_is_a_table_with_the_same_control_and_tasters(lab: Lab) -> None:
    first = plan_screening(lab, "choose", draft(), "a form")
    again = plan_screening(lab, "choose", draft(), "a form")

    screening = view_screening(lab, first.id, best=3)
    tables = [table for table, _ in screening.flights]
    assert again == first
    assert tables[0].occasion == "Spring flood, flight 1 of 4"
    assert len(lab.repository.read(lambda records: records.tables())) == 4
    # Nine or ten, and the control, one bowl each.
    assert sorted(len(table.places) for table in tables) == [10, 10, 11, 11]
    assert {place.cups for table in tables for place in table.places} == {1}
    named = [lab.repository.read(lambda records, at=at: records.coffees(at.id)) for at in tables]
    assert [[each.name for each in coffees if each.is_control] for coffees in named] == [
        ["Old Post"]
    ] * 4
    assert sorted(c.name for coffees in named for c in coffees if not c.is_control) == sorted(
        OFFERS
    )
    assert screening.rankings == ()


def test_a_fault_leaves_no_flight_behind(lab: Lab) -> None:
    for wrong in ({"tasters": ()}, {"coffees": (*OFFERS[:37], OFFERS[0])}, {"occasion": "x" * 70}):
        with pytest.raises(Unacceptable):
            plan_screening(lab, "choose", draft(**wrong))

    assert lab.repository.read(lambda records: records.tables()) == ()
    assert check_screening(lab, "choose", draft(cut_off=None))[0].where == "Cut-off"
    assert check_screening(lab, "choose", draft()) == ()
    with pytest.raises(NotThere):
        view_screening(lab, "nowhere", best=3)


def test_two_mornings_three_bought_and_how_sure(lab: Lab, clock: StandingClock) -> None:
    first = plan_screening(lab, "choose", draft())

    tasted(lab, clock, first, 2)
    ((_, half),) = view_screening(lab, first.id, best=3).rankings
    clock.pass_seconds(20 * 3600)
    tasted(lab, clock, first, 4)
    ((nth, ranking),) = view_screening(lab, first.id, best=3).rankings

    # So far nothing is said of the flights whose codes are sealed.
    assert (len(half.coffees), len(ranking.coffees), nth) == (19, 38, 0)
    ((found, uncovered),) = screenings_among(list_tables(lab))
    assert (found.id, uncovered) == (first.id, 4)
    # Three stand three points over the next, and a mean of three looks errs by a third of one.
    assert {each.coffee.name for each in ranking.coffees[:3]} == THREE
    assert ranking.sheets is not None
    assert ranking.sheets > ranking.again
    taken = [each.coffee.name for each in ranking.coffees[:5]]
    again = plan_table(lab, "choose", draft(coffees=tuple(taken), terms=(), bowls=5))
    taste_whole(lab, again, TRUTH, look_sd=0.6, seed=9)

    evidence = evidence_of(lab, again)

    known = {each["coffee"]: each for each in evidence["sure"]["coffees"]}
    # The same names are the same lots: the screening counts.
    assert {each["before"] for each in known.values()} == {1}
    assert {each["bowls"] for each in evidence["coffees"]} == {5}
    before = {each.coffee.name: each.total for each in ranking.coffees}
    for name in THREE:
        now = known[name]["total"]
        assert now["high"] - now["low"] < before[name].high - before[name].low
    words = {name: "buy" if name in THREE else "decline" for name in subjects_to_decide(lab, again)}
    decide(lab, again, words, reason="The best three of two looks.", decided_by="Piet")
    assert memo_of(lab, again).finding.startswith("Buy ")


def test_classes_without_a_control_are_not_ranked_together(lab: Lab, clock: StandingClock) -> None:
    classes = (1,) * 19 + (2,) * 19
    apart = draft(order_classes=classes, controls=())
    first = plan_screening(lab, "choose", apart)
    bridged = plan_screening(lab, "choose", replace(apart, controls=("Old Post",)))
    mixed = plan_screening(lab, "choose", replace(apart, fully_random=True))

    looks: list[ScreeningView] = [
        view_screening(lab, each.id, best=3) for each in (first, bridged, mixed)
    ]
    tasted(lab, clock, first, 4)
    rankings = view_screening(lab, first.id, best=3).rankings

    assert [screening.is_common for screening in looks] == [False, True, True]
    assert [(nth, len(ranking.coffees)) for nth, ranking in rankings] == [
        (1, 9),
        (2, 10),
        (3, 9),
        (4, 10),
    ]


def test_no_verdict_while_no_flight_waits(lab: Lab) -> None:
    first = plan_screening(lab, "choose", draft())

    with pytest.raises(NotNow, match="No flight waits"):
        decide_screening(lab, first.id, (), reason="Clean.", decided_by="Piet")


class MeanwhileBooks:
    """Books of a lab in which something else is done just before each piece of work."""

    def __init__(self, records: Repository, meanwhile: Callable[[], None]) -> None:
        self._books, self._meanwhile = records, meanwhile
        self.read, self.later = records.read, records.later

    def write(self, work: Callable[[WriteAccess], T]) -> T:
        self._meanwhile()
        return self._books.write(work)


def test_one_flight_that_cannot_be_decided_leaves_all_undecided(
    lab: Lab, clock: StandingClock
) -> None:
    first = plan_screening(lab, "choose", draft())
    tasted(lab, clock, first, 2)
    one, other = (table for table, _ in view_screening(lab, first.id, best=3).flights[:2])

    def move() -> None:
        move_cut_off(lab, other, 83.0, "The offer was cut.")

    meanwhile = replace(lab, repository=MeanwhileBooks(lab.repository, move))
    with pytest.raises(NotNow, match="came in meanwhile"):
        decide_screening(meanwhile, first.id, (), reason="Clean.", decided_by="Piet")
    before = [look_at(lab, table.id)[1].flight for table in (one, other)]

    assert decide_screening(lab, first.id, (), reason="Clean.", decided_by="Piet") == 2
    assert before == ["uncovered", "uncovered"]
    assert {look_at(lab, table.id)[1].flight for table in (one, other)} == {"decided"}
