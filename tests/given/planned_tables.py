"""A planned table that has no hitch, and changes to it."""

from dataclasses import replace
from typing import Any

from crustbreak.domain.planning.feasibility.report import hitches
from crustbreak.domain.planning.feasibility.rules import Hitch, turned
from crustbreak.domain.planning.quantities.coffee_amounts import SampleUse
from crustbreak.domain.planning.quantities.equipment import USUAL
from crustbreak.domain.planning.table_facts import Boil, Gap, PlannedTable, Timing
from crustbreak.domain.records.recipes import STANDARD

# At sea level; the heights of the window's ends as the standard atmosphere gives them.
AT_SEA = Boil(altitude_m=0, boiling_c=100, low_reach_m=2334, high_reach_m=1675)


def planned_table(**changed: Any) -> PlannedTable:
    """Give six coffees in five cups for three tasters and five kettles, changed.

    A field inside a record is written with two lines below: `recipe__pace_s`.
    """
    planned = PlannedTable(
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
        gap=Gap(believing_points=1.6, tasters=3, matters_points=2),
    )
    for field, value in changed.items():
        planned = turned(planned, field.replace("__", "."), to=value)
    return planned


def found(planned: PlannedTable) -> dict[str, Hitch]:
    """Give what is said about it, by the word of its rule."""
    return {hitch.rule: hitch for hitch in hitches(planned)}


def only(**changed: Any) -> Hitch:
    """Give the one thing that is said about the table, changed."""
    (hitch,) = hitches(planned_table(**changed))
    return hitch
