"""What can go wrong up to the break: sample, roast, grind, water and pour."""

from crustbreak.domain.planning.feasibility.rules import Adjustment, Rule
from crustbreak.domain.planning.phrases import format_count
from crustbreak.domain.planning.quantities.coffee_amounts import (
    SampleBalance,
    coffee_amount,
    sample_balance,
)
from crustbreak.domain.planning.table_facts import TableFacts

# Water does not wait longer than this for a cup, open and lidded. Source: [S24].
OPEN_MIN, LIDDED_MIN = 15, 30
MOST_SAMPLE_G = 20_000
MOST_HOURS = 48

FEWER_PLACES = Adjustment(
    field="places",
    step=-1,
    end=1,
    says=lambda now, to: f"take {format_count(int(now - to), 'code')} off the table, to {to:g}",
)
# Five, three or one: an even number has no bowl in the middle, and nobody sets it.
FEWER_CUPS = Adjustment(
    field="cups", step=-2, end=1, says=lambda now, to: f"set {to:g} under each code, not {now:g}"
)


def _balance(planned: TableFacts) -> SampleBalance | None:
    amount = coffee_amount(planned.recipe, planned.means, cups=planned.cups * planned.use.codes)
    return sample_balance(planned.use, amount, planned.means)


def _finds_short_sample(planned: TableFacts) -> str:
    balance = _balance(planned)
    return balance.said if balance and balance.left_g < 0 else ""


def _cannot_be_roasted(planned: TableFacts) -> bool:
    balance = _balance(planned)
    return balance is not None and balance.sample_g < balance.roast_g


def _finds_stale_grounds(planned: TableFacts) -> str:
    timing = planned.timing
    most = LIDDED_MIN if timing.lidded else OPEN_MIN
    if timing.ground_min is None or timing.ground_min <= most:
        return ""
    how = "lidded" if timing.lidded else "open"
    return (
        f"Cups are ground {timing.ground_min:g} min before the pour; {how} they keep for {most} "
        "min."
    )


def _finds_fresh_roast(planned: TableFacts) -> str:
    timing = planned.timing
    if timing.youngest_h is None or timing.youngest_h >= timing.rest_least_h:
        return ""
    return (
        f"The last roast has rested {timing.youngest_h:g} h at the pour, and "
        f"{timing.rest_least_h:g} h is the least."
    )


def _finds_old_roast(planned: TableFacts) -> str:
    timing = planned.timing
    if timing.oldest_h is None or timing.oldest_h <= timing.rest_most_h:
        return ""
    return (
        f"The first roast is {timing.oldest_h:g} h old at the pour, and {timing.rest_most_h:g} h "
        "is the most."
    )


def _finds_low_boil(planned: TableFacts) -> str:
    boil = planned.boil
    if boil is None or planned.recipe.pour_c <= boil.boiling_c:
        return ""
    return (
        f"The recipe pours at {planned.recipe.pour_c:g} C, but water boils at "
        f"{boil.boiling_c:.1f} C at {boil.altitude_m:,.0f} m."
    )


def _finds_missed_window(planned: TableFacts) -> str:
    boil = planned.boil
    if boil is None or boil.boiling_c >= boil.low_c:
        return ""
    return (
        f"Water boils at {boil.boiling_c:.1f} C at {boil.altitude_m:,.0f} m. The window of "
        f"{boil.low_c:g} to {boil.high_c:g} C can be met in full up to {boil.high_reach_m:,.0f} m "
        f"and not at all above {boil.low_reach_m:,.0f} m."
    )


SAMPLE = Rule(
    word="sample",
    finds=_finds_short_sample,
    stops=_cannot_be_roasted,
    adjustments=(
        Adjustment(
            field="use.sample_g",
            step=5,
            end=MOST_SAMPLE_G,
            says=lambda now, to: f"ask for {to - now:g} g more",
        ),
        Adjustment(
            field="use.retained",
            step=-1,
            end=0,
            says=lambda _, to: f"retain {format_count(int(to), 'portion')}",
        ),
        Adjustment(field="use.graded", step=-1, end=0, says=lambda _, __: "leave the grading out"),
        Adjustment(
            field="use.roasts",
            step=-1,
            end=1,
            says=lambda _, to: f"plan for {format_count(int(to), 'roast')}",
        ),
        FEWER_CUPS,
    ),
)
GRIND = Rule(
    word="grind",
    finds=_finds_stale_grounds,
    stops=lambda _: False,
    adjustments=(
        Adjustment(
            field="timing.lidded", step=1, end=1, says=lambda _, __: "lid each cup when ground"
        ),
        Adjustment(
            field="timing.ground_min",
            step=-1,
            end=0,
            says=lambda now, to: f"grind {now - to:g} min later",
        ),
    ),
)
FRESH = Rule(
    word="fresh",
    finds=_finds_fresh_roast,
    stops=lambda _: False,
    adjustments=(
        Adjustment(
            field="timing.youngest_h",
            step=1,
            end=MOST_HOURS,
            says=lambda now, to: f"pour {to - now:g} h later",
        ),
    ),
)
STALE = Rule(
    word="stale",
    finds=_finds_old_roast,
    stops=lambda _: False,
    adjustments=(
        Adjustment(
            field="timing.oldest_h",
            step=-1,
            end=0,
            says=lambda now, to: f"pour {now - to:g} h earlier, or roast it again",
        ),
    ),
)
BOIL = Rule(
    word="boil",
    finds=_finds_low_boil,
    stops=lambda _: False,
    adjustments=(
        Adjustment(
            field="recipe.pour_c",
            step=-0.1,
            end=60,
            says=lambda _, to: f"put {to:g} C into the recipe and pour straight off the boil",
        ),
    ),
)
WINDOW = Rule(
    word="window",
    finds=_finds_missed_window,
    stops=lambda _: False,
    adjustments=(
        Adjustment(
            field="boil.low_c",
            step=-0.1,
            end=60,
            says=lambda _, to: (
                f"write down a window of your own that begins at {to:g} C, and compare with "
                "tables poured alike only"
            ),
        ),
    ),
)
