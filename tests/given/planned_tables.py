"""A planned table that has no issue, and changes to it."""

from dataclasses import replace
from typing import Any

from crustbreak.domain.planning.feasibility.report import issues
from crustbreak.domain.planning.feasibility.rules import Issue, turned
from crustbreak.domain.planning.quantities.coffee_amounts import SampleUse
from crustbreak.domain.planning.quantities.equipment import USUAL
from crustbreak.domain.planning.table_facts import Boil, DetectableGap, TableFacts, Timing
from crustbreak.domain.records.recipes import STANDARD

# At sea level; the heights of the window's ends as the standard atmosphere gives them.
AT_SEA = Boil(altitude_m=0, boiling_c=100, low_reach_m=2334, high_reach_m=1675)


def planned_table(**changed: Any) -> TableFacts:
    """Give six coffees in five cups for three tasters and five kettles, changed.

    A field inside a record is written with two lines below: `recipe__pace_s`.
    """
    planned = TableFacts(
        recipe=STANDARD,
        means=replace(USUAL, kettles=5, kettle_rest_ml=0),
        timing=Timing(
            youngest_h=12, oldest_h=14, ground_min=15, lidded=False, taste_from_s=840, cooled_s=800
        ),
        use=SampleUse(sample_g=650, graded=True, roasts=1, retained=2),
        places=6,
        cups=5,
        tasters=3,
        rounds=3,
        boil=AT_SEA,
        gap=DetectableGap(believing_points=1.6, tasters=3, matters_points=2),
    )
    for field, value in changed.items():
        planned = turned(planned, field.replace("__", "."), to=value)
    return planned


def found(planned: TableFacts) -> dict[str, Issue]:
    """Give what is said about it, by the word of its rule."""
    return {issue.rule: issue for issue in issues(planned)}


def only(**changed: Any) -> Issue:
    """Give the one thing that is said about the table, changed."""
    (issue,) = issues(planned_table(**changed))
    return issue
