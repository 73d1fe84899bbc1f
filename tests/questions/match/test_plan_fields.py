"""What the plan form asks of a table of the approved coffee."""

from dataclasses import replace

from crustbreak.questions.match.plan_fields import match_fields
from crustbreak.reports.plan_fields import PlanContext

CONTEXT = PlanContext(
    currency="EUR", lot_days=180, cups=1, in_time=3, is_begun=False, follows=False
)


def test_asks_for_both_coffees_one_by_one_and_for_how_sure() -> None:
    names = [field.name for field in match_fields(CONTEXT)]

    assert names == ["coffee_1", "coffee_2", "certainty", "bowls"]


def test_more_certainty_takes_more_bowls() -> None:
    # 1 / C(2n, n) at most half of what may be false: 1/20, 1/70 and 1/252, by hand.
    options = match_fields(CONTEXT)[2].options

    assert [value for value, _ in options] == ["90", "95", "99"]
    assert [shown.split(", ")[1] for _, shown in options] == [
        "3 bowls of each",
        "4 bowls of each",
        "5 bowls of each",
    ]


def test_a_table_that_adds_to_another_is_asked_the_same() -> None:
    fixed = [field.is_fixed for field in match_fields(replace(CONTEXT, follows=True))]

    assert fixed == [True, True, True, False]
