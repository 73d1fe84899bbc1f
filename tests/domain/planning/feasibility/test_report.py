"""What is said before the water boils, and that the change named is the smallest."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crustbreak.core.errors import Unacceptable
from crustbreak.domain.planning.feasibility.report import RULES, issues
from crustbreak.domain.planning.feasibility.rules import check_rules, turned
from crustbreak.domain.planning.input_limits import check_planned
from crustbreak.domain.planning.table_facts import TableFacts
from planned_tables import planned_table

COUNTS = st.integers(1, 14)
PLANNED = st.builds(
    planned_table,
    places=COUNTS,
    cups=st.integers(1, 6),
    tasters=COUNTS,
    rounds=st.integers(1, 4),
    spoons=st.integers(1, 3),
    shared=st.booleans(),
    swallowed=st.integers(0, 200),
    earlier_mg=st.integers(0, 450),
    recipe__pace_s=st.integers(5, 25),
    recipe__pour_c=st.sampled_from([88, 90.5, 93, 94.4, 96]),
    recipe__water_ml=st.sampled_from([60, 150, 180, 240]),
    means__kettles=st.integers(1, 4),
    means__reheat_s=st.integers(0, 300),
    use__sample_g=st.none() | st.integers(20, 1000),
    use__graded=st.booleans(),
    use__roasts=st.integers(1, 3),
    timing__youngest_h=st.floats(0, 30),
    timing__oldest_h=st.floats(0, 60),
    timing__ground_min=st.integers(0, 50),
    timing__lidded=st.booleans(),
    timing__taste_from_s=st.integers(300, 1200),
    timing__writing_s=st.sampled_from([7, 25]),
    boil__boiling_c=st.floats(88, 100),
    gap__matters_points=st.floats(0.1, 3),
)


@settings(max_examples=150)
@given(PLANNED)
def test_each_change_named_mends_its_hitch_and_one_step_less_does_not(
    planned: TableFacts,
) -> None:
    rules = {rule.word: rule for rule in RULES}

    for issue in issues(planned):
        for fix in issue.fixes:
            mended = turned(planned, fix.field, to=fix.to)
            short = turned(planned, fix.field, to=round(fix.to - fix.step, 6))
            assert check_planned(mended) == ()
            assert check_rules(rules[issue.rule], mended) is None
            assert rules[issue.rule].finds(short)


@settings(max_examples=50)
@given(PLANNED)
def test_what_stops_a_table_comes_before_what_it_suffers_from(planned: TableFacts) -> None:
    said = issues(planned)

    order = [rule.word for rule in RULES]
    assert list(said) == sorted(said, key=lambda each: (not each.stops, order.index(each.rule)))
    assert all(issue.found.endswith(".") and issue.fix.endswith(".") for issue in said)


def test_a_table_that_works_is_left_in_peace() -> None:
    assert issues(planned_table()) == ()
    assert issues(planned_table(boil=None, gap=None, use__sample_g=None)) == ()


def test_figures_that_nothing_follows_from_are_refused() -> None:
    with pytest.raises(Unacceptable) as refused:
        issues(planned_table(places=0, recipe__pace_s=0))

    assert [problem.where for problem in refused.value.problems] == [
        "Codes on the table",
        "Pace, s",
    ]
