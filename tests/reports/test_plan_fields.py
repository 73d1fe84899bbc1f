"""The fields of a plan form, as data."""

from crustbreak.reports.plan_fields import (
    FULLY_RANDOM,
    SHARE,
    PlanContext,
    PlanField,
    bowls_choice,
    coffee_list,
)


def test_a_list_of_coffees_comes_first_and_is_needed() -> None:
    field = coffee_list("2 to 4.", "More", "A sentence.")

    assert (field.name, field.kind, field.part) == ("coffees", "lines", "coffees")
    assert field.is_first
    assert field.is_required
    assert field.more == ("More", "A sentence.")


def test_bowls_are_chosen_or_left_to_what_is_usual() -> None:
    assert bowls_choice("Why.", "as many as fit", (5, 3)).options == (
        ("", "as many as fit"),
        ("5", "5"),
        ("3", "3"),
    )


def test_a_field_stands_in_one_part_of_the_form() -> None:
    plain = PlanField(name="x", label="X", part="answer")

    assert {each.part for each in (plain, SHARE, FULLY_RANDOM)} == {"answer", "pouring"}
    assert not plain.is_required


def test_fields_know_what_they_depend_on() -> None:
    context = PlanContext(
        currency="EUR", lot_days=180, cups=5, in_time=3, is_begun=False, follows=False
    )

    assert (context.cups, context.in_time) == (5, 3)
