"""What the plan form asks of a table of offers."""

from dataclasses import replace

from crustbreak.questions.choose.plan_fields import choice_fields
from crustbreak.reports.plan_fields import PlanContext

CONTEXT = PlanContext(
    currency="EUR", lot_days=180, cups=5, in_time=3, is_begun=False, follows=False
)


def test_asks_for_coffees_first_and_each_field_once() -> None:
    names = [field.name for field in choice_fields(CONTEXT)]

    assert names == ["coffees", "control", "double", "bowls", "share", "fully_random"]


def test_says_how_many_coffees_and_in_which_currency() -> None:
    coffees = choice_fields(CONTEXT)[0]

    assert coffees.about == "3 to 14, one a line, typed or pasted; up to 48 in two stages."
    assert "in EUR" in coffees.more[1]
    assert "180 days" in coffees.more[2]


def test_says_how_many_bowls_there_is_time_for_once_coffees_are_named() -> None:
    before, after = (
        next(field for field in choice_fields(each) if field.name == "bowls").options[0]
        for each in (CONTEXT, replace(CONTEXT, is_begun=True))
    )

    assert before == ("", "as many as there is time for")
    assert after == ("", "as many as there is time for: 3")
