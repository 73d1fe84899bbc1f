"""Which figures of a planned table are slips of the pen."""

from operator import attrgetter
from typing import Any

from crustbreak.core.errors import Problem, told
from crustbreak.domain.planning.table_facts import TableFacts

# Field, what a person calls it, least and most that is no slip of the pen.
LIMITS: tuple[tuple[str, str, float, float], ...] = (
    ("places", "Codes on the table", 1, 60),
    ("cups", "Bowls under a code", 1, 60),
    ("tasters", "Tasters", 1, 60),
    ("rounds", "Rounds", 1, 10),
    ("spoons", "Spoons a bowl and round", 1, 10),
    ("swallowed", "Spoons swallowed", 0, 100_000),
    ("earlier_mg", "Caffeine earlier that day, mg", 0, 10_000),
    ("recipe.dose_g", "Dose, g", 0.1, 1_000),
    ("recipe.water_ml", "Water, ml", 1, 10_000),
    ("recipe.steep_s", "Steep, s", 1, 7_200),
    ("recipe.pace_s", "Pace, s", 1, 600),
    ("recipe.pour_c", "Temperature of the pour, C", 0, 100),
    ("means.purge_g", "Purge, g", 0, 1_000),
    ("means.colour_g", "Colour sample, g", 0, 1_000),
    ("means.loss_share", "Loss in the roast, as a share", 0, 0.5),
    ("means.weigh_to_g", "Step weighed in, g", 0.01, 100),
    ("means.grading_g", "Grading sample, g", 0, 10_000),
    ("means.retained_g", "Retained portion, g", 0, 10_000),
    ("means.kettles", "Kettles", 1, 50),
    ("means.kettle_ml", "Kettle, ml", 1, 100_000),
    ("means.kettle_rest_ml", "Rest in the kettle, ml", 0, 100_000),
    ("means.reheat_s", "Reheat, s", 0, 7_200),
    ("means.absorbed_g_a_g", "Water kept by a gram of grounds, g", 0, 10),
    ("means.over_grounds_ml", "Liquid over the grounds, ml", 0, 10_000),
    ("means.spoon_ml", "Spoon, ml", 0.1, 100),
    ("timing.youngest_h", "Rest of the last roast, h", 0, 10_000),
    ("timing.oldest_h", "Rest of the first roast, h", 0, 10_000),
    ("timing.rest_least_h", "Least rest, h", 0, 10_000),
    ("timing.rest_most_h", "Most rest, h", 0, 10_000),
    ("timing.ground_min", "Ground before the pour, min", 0, 10_000),
    ("timing.taste_from_s", "First spoon, s", 0, 36_000),
    ("timing.cooled_s", "Cool enough, s", 0, 30_000),
    ("timing.window_min", "From too hot to too cold, min", 0, 600),
    ("timing.writing_s", "Writing a coffee, s", 0, 3_600),
    ("use.sample_g", "Sample, g", 0, 1_000_000),
    ("use.roasts", "Roasts of a sample", 1, 100),
    ("use.retained", "Retained portions", 0, 100),
    ("use.codes", "Codes of one coffee", 1, 10),
    ("boil.altitude_m", "Height, m", -500, 9_000),
    ("boil.boiling_c", "Boiling point, C", 50, 105),
    ("boil.low_c", "Window, from, C", 0, 100),
    ("boil.high_c", "Window, to, C", 0, 100),
    ("boil.low_reach_m", "Height for the window's low end, m", -10_000, 100_000),
    ("boil.high_reach_m", "Height for the window's high end, m", -10_000, 100_000),
    ("gap.believing_points", "Gap worth believing, points", 0, 100),
    ("gap.tasters", "Tasters for that gap", 1, 60),
    ("gap.matters_points", "Gap that matters, points", 0, 100),
)
# What nobody may have weighed or said yet.
UNKNOWN = frozenset({"use.sample_g", "timing.youngest_h", "timing.oldest_h", "timing.ground_min"})


def check_planned(planned: TableFacts) -> tuple[Problem, ...]:
    """Name every figure of a planned table that nothing can be worked out from."""
    problems = [
        Problem(
            where=words,
            rule=f"a number from {least:g} to {most:g}",
            found=told(value),
            remedy="Type it again.",
        )
        for field, words, least, most in LIMITS
        if _is_known(planned, field) and not least <= (value := attrgetter(field)(planned)) <= most
    ]
    means = planned.means
    if not problems and means.kettle_ml - means.kettle_rest_ml < planned.recipe.water_ml:
        problems.append(
            Problem(
                where="Kettle, ml",
                rule="water for one bowl at least, without the rest that cannot be poured",
                found=f"{means.kettle_ml - means.kettle_rest_ml:g} ml",
                remedy="Take a larger kettle.",
            )
        )
    return tuple(problems)


def _is_known(planned: TableFacts, field: str) -> bool:
    record: Any = getattr(planned, field.partition(".")[0])
    return record is not None and not (field in UNKNOWN and attrgetter(field)(planned) is None)
