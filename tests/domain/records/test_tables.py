"""A table as the phone app may know it, and how its cups are made."""

from dataclasses import replace

from crustbreak.domain.records.recipes import STANDARD, Recipe
from crustbreak.domain.records.tables import (
    USUAL_FIRST_ROUND_S,
    CupTimes,
    Flight,
    Place,
    Seat,
)
from crustbreak.domain.records.tasting_orders import TastingOrder
from tables import place, table


def test_places_stand_flight_by_flight() -> None:
    first, second = place("p1", "527"), place("p2", "814")
    flights = (Flight(id="f1", places=(first,)), Flight(id="f2", places=(second,)))

    assert table(flights=flights).places == (first, second)


def test_bowls_are_poured_place_by_place() -> None:
    small = (place("p1", "527", cups=2), place("p2", "814", cups=1))

    cups = table(flights=(Flight(id="f1", places=small),)).cups

    assert [(each.id, cup) for each, cup in cups] == [("p1", 1), ("p1", 2), ("p2", 1)]


def test_places_and_seats_are_found_by_id_or_not_at_all() -> None:
    set_out = table("Ines", "Tomas")

    seat, stood = set_out.seat("s2"), set_out.place("p3")

    assert seat is not None
    assert seat.taster == "Tomas"
    assert stood is not None
    assert stood.code == "396"
    assert (set_out.seat("s3"), set_out.place("p9"), set_out.place(None)) == (None, None, None)


def strength(recipe: Recipe) -> float:
    return recipe.dose_g / recipe.water_ml


def test_standard_recipe_is_the_published_one() -> None:
    # 8.25 g to 150 ml, which is 0.055 g/ml; break at 3 to 5 min; 200 F, give or take 2 F.
    # Source: [S1].
    assert (STANDARD.dose_g, STANDARD.water_ml) == (8.25, 150)
    assert round(strength(STANDARD), 6) == 0.055
    assert 180 <= STANDARD.steep_s <= 300
    assert (198 - 32) / 1.8 <= STANDARD.pour_c <= (202 - 32) / 1.8


def test_as_many_people_work_as_have_something_to_do() -> None:
    shared = CupTimes(pour_s=0, break_s=240, skim_s=260, break_by=2, skim_by=3)

    assert table().people == 1
    assert table(course=(shared,)).people == 3


def course(*pours: int) -> tuple[CupTimes, ...]:
    return tuple(CupTimes(pour_s=at, break_s=at + 240, skim_s=at + 300) for at in pours)


def test_without_a_course_bowls_follow_at_the_pace() -> None:
    # 8 s a bowl and 240 s of steep, as the recipe has them.
    assert table().times(3) == CupTimes(pour_s=24, break_s=264, skim_s=264)


def test_a_bowl_is_due_where_its_course_has_it() -> None:
    small = (place("p1", "527", cups=2), place("p2", "814", cups=1))
    set_out = table(
        flights=(Flight(id="f1", places=small),), course=course(0, 8, 250), first_round_s=900
    )

    assert set_out.times(2).break_s == 490
    assert (set_out.taste_from_s("p1"), set_out.taste_from_s("p2")) == (908, 1150)
    assert table().first_round_s == USUAL_FIRST_ROUND_S


def test_a_seat_tastes_what_its_walk_leads_to() -> None:
    set_out = table("Ines", "Tomas")
    some = Seat(id="s3", taster="Odile", tasting_order=TastingOrder(there=(2, 0), back=(0, 2)))
    first, _, third = set_out.places[:3]

    assert set_out.tasted_by(some) == (first, third)
    assert set_out.tasted_by(replace(some, tasting_order=None)) == set_out.places


def test_an_open_place_is_poured_and_not_marked() -> None:
    conditions = Place(id="p3", code="open", cups=1, is_open=True)
    set_out = table(
        flights=(Flight(id="f1", places=(place("p1"), place("p2", "814"), conditions)),)
    )

    assert [each.id for each in set_out.blind] == ["p1", "p2"]
    assert set_out.tasted_by(set_out.seats[0]) == set_out.blind
    assert set_out.cups[-1] == (conditions, 1)
