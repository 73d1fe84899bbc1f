"""How the smallest change is found."""

from dataclasses import replace

from crustbreak.domain.planning.feasibility.rules import (
    NO_ONE_CHANGE,
    Adjustment,
    Fix,
    Issue,
    Rule,
    check_rules,
    turned,
)
from crustbreak.domain.planning.table_facts import TableFacts
from planned_tables import planned_table

COOLER = Adjustment(
    field="recipe.pour_c", step=-0.1, end=90, says=lambda now, to: f"pour at {to:g}, not {now:g}"
)
FEWER = Adjustment(field="places", step=-1, end=1, says=lambda now, to: f"{now - to:g} fewer")
LID = Adjustment(field="timing.lidded", step=1, end=1, says=lambda _, __: "lid it")


def rule(limit_c: float, *adjustments: Adjustment) -> Rule:
    return Rule(
        word="hot",
        finds=lambda planned: "Too hot." if planned.recipe.pour_c > limit_c else "",
        stops=lambda planned: planned.recipe.pour_c > limit_c + 1,
        adjustments=adjustments,
    )


def test_where_nothing_is_found_there_is_no_hitch() -> None:
    assert check_rules(rule(93, COOLER), planned_table()) is None


def test_first_step_that_clears_the_rule_is_named() -> None:
    """From 93 in tenths to 91.6, though tenths do not add up in binary."""
    issue = check_rules(rule(91.6, FEWER, COOLER), planned_table())

    assert issue == Issue(
        rule="hot",
        found="Too hot.",
        stops=True,
        fixes=(Fix(field="recipe.pour_c", to=91.6, step=-0.1, says="pour at 91.6, not 93"),),
    )
    assert issue.fix == "Pour at 91.6, not 93."


def test_where_no_dial_alone_suffices_that_is_said() -> None:
    issue = check_rules(rule(89, FEWER, COOLER), planned_table())

    assert issue is not None
    assert (issue.fixes, issue.fix) == ((), NO_ONE_CHANGE)


def test_something_done_or_not_is_one_step() -> None:
    def finds(planned: TableFacts) -> str:
        return "" if planned.timing.lidded else "Open."

    issue = check_rules(
        Rule(word="lid", finds=finds, stops=lambda _: False, adjustments=(LID,)), planned_table()
    )

    assert issue is not None
    assert issue.fix == "Lid it."
    assert turned(planned_table(), "timing.lidded", to=issue.fixes[0].to).timing.lidded is True


def test_one_field_is_turned_and_all_else_stays() -> None:
    plain = planned_table()

    assert turned(plain, "places", to=4) == replace(plain, places=4)
    slow = turned(plain, "recipe.pace_s", to=12)
    assert slow == replace(plain, recipe=replace(plain.recipe, pace_s=12))
    assert turned(slow, "recipe.pace_s", to=8) == plain
