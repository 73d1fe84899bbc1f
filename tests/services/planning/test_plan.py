import pytest
from at_a_match import match_draft
from at_the_table import COFFEES, planned

from crustbreak.core.errors import NotThere, Unacceptable
from crustbreak.core.randomness import SeededRandom
from crustbreak.domain.planning.layout.tasting_orders import draw_tasting_orders
from crustbreak.domain.planning.plan_request import PlanDraft
from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.services.planning.plan import (
    ONE_AT_A_TIME,
    check_plan,
    plan_once,
    plan_table,
)
from crustbreak.services.tables.keys import open_key_to_set


def draft(**changed: object) -> PlanDraft:
    asked: dict[str, object] = {
        "occasion": "",
        "coffees": COFFEES,
        "tasters": ("Odile",),
        "cut_off": 84.0,
        "setter": "Piet",
    }
    return PlanDraft(**{**asked, **changed})  # type: ignore[arg-type]


def test_keeps_the_plan_as_it_was_asked_for(lab: Lab) -> None:
    table = plan_table(lab, "choose", draft(occasion="Offers"))

    kept = lab.repository.read(lambda records: records.table(table.id))

    assert kept == table
    assert (kept.cut_off, kept.setter, kept.occasion) == (84.0, "Piet", "Offers")
    assert [coffee.name for coffee in lab.repository.read(lambda b: b.coffees(table.id))] == list(
        COFFEES
    )


def test_gives_every_coffee_a_code_and_five_bowls(lab: Lab) -> None:
    table = planned(lab)

    assert [place.cups for place in table.places] == [5, 5, 5]
    assert len({place.code for place in table.places}) == 3


def test_puts_the_key_away_and_not_into_the_plan(lab: Lab) -> None:
    table = planned(lab)

    key = lab.keys.open(table.id)

    assert set(key.coffee_of) == {place.id for place in table.places}
    assert key.seed not in repr(table)


def test_keeps_the_draw_apart_from_the_ids_that_the_floor_sees(lab: Lab) -> None:
    # Whoever ran the draw again from an id that is seen would know the key.
    table = planned(lab)
    key = lab.keys.open(table.id)

    seen = repr(table)

    assert not any(coffee_id in seen for coffee_id in key.coffee_of.values())


def test_names_every_fault_and_plans_nothing(lab: Lab) -> None:
    faulty = draft(coffees=("One", "one"), cut_off=None, setter=" ")

    with pytest.raises(Unacceptable) as refused:
        plan_table(lab, "choose", faulty)

    assert {problem.where for problem in refused.value.problems} == {
        "Coffees",
        "Cut-off",
        "Who sets the table",
    }
    assert lab.repository.read(lambda records: records.tables()) == ()


def test_knows_its_questions(lab: Lab) -> None:
    with pytest.raises(NotThere, match="no question 'chose'") as refused:
        plan_table(lab, "chose", draft())

    assert "choose" in refused.value.hint


def test_a_control_stands_under_a_code_of_its_own_and_is_known_as_one(lab: Lab) -> None:
    table = plan_table(lab, "choose", draft(controls=("Old Post",), duplicate=True))

    coffees = lab.repository.read(lambda records: records.coffees(table.id))

    assert [coffee.name for coffee in coffees if coffee.is_control] == ["Old Post"]
    stood = list(lab.keys.open(table.id).coffee_of.values())
    assert len(stood) == 5
    assert stood.count(coffees[-1].id) == 1


def test_a_form_that_is_sent_twice_plans_one_table(lab: Lab) -> None:
    first = plan_once(lab, "choose", draft(), "a form")

    again = plan_once(lab, "choose", draft(), "a form")
    other = plan_once(lab, "choose", draft(), "another form")
    bare = [plan_once(lab, "choose", draft(), "") for _ in range(2)]

    assert again == first
    assert len({first.id, other.id, *(table.id for table in bare)}) == 4
    assert len(lab.repository.read(lambda records: records.tables())) == 4
    assert not ONE_AT_A_TIME.locked()


def test_a_form_that_was_changed_in_between_plans_another_table(lab: Lab) -> None:
    first = plan_once(lab, "choose", draft(), "a form")

    second = plan_once(lab, "choose", draft(occasion="The right one"), "a form")

    assert second.id != first.id
    assert second.occasion == "The right one"


def test_a_form_that_was_refused_can_be_mended_and_sent_again(lab: Lab) -> None:
    with pytest.raises(Unacceptable):
        plan_once(lab, "choose", draft(setter=""), "a form")

    assert plan_once(lab, "choose", draft(), "a form").setter == "Piet"


IN_CLASSES = {"coffees": (*COFFEES, "Hask", "Dry Mill"), "order_classes": (2, 1, 1, 2, 3)}


def classes_standing(lab: Lab, table: Table) -> list[int]:
    """The order class of each place, as the key and the records have it."""
    class_of = {
        coffee.id: coffee.order_class
        for coffee in lab.repository.read(lambda records: records.coffees(table.id))
    }
    coffee_of = lab.keys.open(table.id).coffee_of
    return [class_of[coffee_of[place.id]] for place in table.places]


def test_classes_stand_and_are_tasted_one_after_the_other(lab: Lab) -> None:
    asked = draft(
        **IN_CLASSES, tasters=("Odile", "Anouk", "Bram"), duplicate=True, controls=("Old Post",)
    )

    for _ in range(12):
        table = plan_table(lab, "choose", asked)

        stood = classes_standing(lab, table)
        assert stood == sorted(stood)
        assert stood.count(3) <= 2
        # The control is of the first class, and the duplicate of its coffee's.
        assert len(stood) == 7
        for seat in table.seats:
            assert seat.tasting_order is not None
            for nth in (1, 2):
                assert [stood[place] for place in seat.tasting_order.in_round(nth)] == stood


def test_a_fully_random_table_pays_no_heed_to_classes(lab: Lab) -> None:
    tables = [plan_table(lab, "choose", draft(**IN_CLASSES, fully_random=True)) for _ in range(12)]

    kept = lab.repository.read(lambda records: records.coffees(tables[0].id))
    first = {lab.keys.open(table.id).coffee_of[table.places[0].id] for table in tables}
    named = {
        coffee.name
        for table in tables
        for coffee in lab.repository.read(lambda records, table=table: records.coffees(table.id))
        if coffee.id in first
    }

    assert {coffee.order_class for coffee in kept} == {1}
    # With classes only two of the five could stand first.
    assert len(named) > 2


def test_each_taster_begins_elsewhere_and_the_walk_is_kept(lab: Lab) -> None:
    table = plan_table(lab, "choose", draft(tasters=("Odile", "Anouk", "Bram")))

    kept = lab.repository.read(lambda records: records.table(table.id))

    assert kept.seats == table.seats
    starts = {seat.tasting_order.start for seat in kept.seats if seat.tasting_order}
    assert starts == {0, 1, 2}


def test_walks_do_not_come_from_the_seed_of_the_key(lab: Lab) -> None:
    # Else whoever sees a tasting order on the phones could tell which seeds do not give it.
    tables = [plan_table(lab, "choose", draft(tasters=("Odile", "Anouk"))) for _ in range(9)]

    seeds = [bytes.fromhex(lab.keys.open(table.id).seed) for table in tables]
    from_the_keys = [
        draw_tasting_orders([1, 1, 1], tasters=2, chance=SeededRandom(seed)) for seed in seeds
    ]
    assert [tuple(seat.tasting_order for seat in table.seats) for table in tables] != from_the_keys


def test_every_code_has_the_bowls_that_were_asked_for(lab: Lab) -> None:
    table = planned(lab, bowls=3, controls=("Old Post",), duplicate=True)

    assert [place.cups for place in table.places] == [3] * 5
    assert len(table.course) == 15


def test_a_balanced_order_is_kept_as_ways(lab: Lab) -> None:
    tasters = ("Ines", "Tomas", "Wren", "Odile", "Anouk", "Mona")

    table = planned(lab, tasters=tasters, balanced=True)

    kept = lab.repository.read(lambda records: records.table(table.id))
    # All six orders of three codes: the whole design.
    assert len({seat.tasting_order.there for seat in kept.seats if seat.tasting_order}) == 6


def test_a_plan_is_checked_before_anything_is_drawn(lab: Lab) -> None:
    assert check_plan(lab, "choose", draft()) == ()
    assert [each.where for each in check_plan(lab, "choose", draft(cut_off=None))] == ["Cut-off"]


def test_bowls_that_are_compared_are_never_parted_by_class(lab: Lab) -> None:
    draft = match_draft(order_classes=(1, 2))
    tables = [plan_table(lab, "match", draft) for _ in range(12)]

    stood = set()
    for table in tables:
        names = open_key_to_set(lab, table)
        stood.add(tuple(names[place.id] for place in table.blind))
    # In classes there would be one way alone to stand.
    assert len(stood) > 6
