"""What can go wrong from the first spoon on: heat, liquid, time, caffeine and the answer."""

from math import sqrt

from crustbreak.core.units import (
    CAFFEINE_DAY_MG,
    CAFFEINE_ONCE_MG,
    SECONDS_A_MINUTE,
    TASTE_BELOW_C,
    clock,
)
from crustbreak.domain.planning.feasibility.pouring_rules import FEWER_CUPS, FEWER_PLACES
from crustbreak.domain.planning.feasibility.rules import Adjustment, Rule
from crustbreak.domain.planning.phrases import format_count
from crustbreak.domain.planning.plan_request import MOST_TASTERS
from crustbreak.domain.planning.quantities.drinkable_volume import Liquor, caffeine_mg, liquor
from crustbreak.domain.planning.table_facts import TableFacts
from crustbreak.domain.planning.tasting_time import tasting_s

# Caffeine a day in pregnancy. Source: [S4].
PREGNANT_DAY_MG = 200
MOST_WAIT_S = 36_000
MOST_CUPS = 20
MOST_GAP = 100

FEWER_ROUNDS = Adjustment(
    field="rounds",
    step=-1,
    end=1,
    says=lambda now, to: f"go round {format_count(int(to), 'time')}, not {now:g}",
)


def _finds_scald(planned: TableFacts) -> str:
    # Scalds: [S3]. Above the same temperature a drink counts as very hot: [S25].
    timing = planned.timing
    if timing.taste_from_s >= timing.cooled_s:
        return ""
    return (
        f"The first spoon is planned {clock(timing.taste_from_s)} after the pour, but a bowl is "
        f"still above {TASTE_BELOW_C} C until {clock(timing.cooled_s)}: it may scald."
    )


def _liquor(planned: TableFacts) -> Liquor:
    return liquor(
        planned.recipe,
        planned.means,
        tasters=planned.tasters,
        spoons=planned.rounds * planned.spoons,
    )


def _finds_dry_bowls(planned: TableFacts) -> str:
    bowls = _liquor(planned)
    # Where each bowl is tasted by everybody, another bowl brings nothing to the one that is dry.
    sharing = planned.cups if planned.shared else 1
    if bowls.bowls is not None and bowls.bowls <= sharing:
        return ""
    asked_ml = bowls.asked_ml / sharing
    return (
        f"{format_count(planned.tasters, 'taster')} take {asked_ml:.0f} ml out of a bowl over "
        f"{format_count(planned.rounds, 'round')}, and it leaves about {max(0, bowls.left_ml):.0f} "
        "ml to taste."
    )


def _finds_long_tasting(planned: TableFacts) -> str:
    timing = planned.timing
    needed = tasting_s(
        coffees=planned.codes_each,
        bowls=planned.bowls_a_round,
        rounds=planned.rounds,
        writing_s=timing.writing_s,
    )
    if needed <= timing.window_min * SECONDS_A_MINUTE:
        return ""
    return (
        f"{format_count(planned.rounds, 'round')} of {format_count(planned.bowls_a_round, 'bowl')} "
        f"under "
        f"{format_count(planned.codes_each, 'code')} take {clock(needed)}, and the cups are "
        f"neither "
        f"too hot nor too cold for {timing.window_min:g} min."
    )


def _finds_caffeine(planned: TableFacts) -> str:
    tasted = planned.bowls_a_round * planned.rounds * planned.spoons
    swallowed = min(planned.swallowed, tasted)
    swallowed_mg = caffeine_mg(planned.recipe, planned.means, spoons=swallowed)
    left_mg = max(0, CAFFEINE_DAY_MG - planned.earlier_mg)
    if swallowed_mg <= min(CAFFEINE_ONCE_MG, left_mg):
        return ""
    return (
        f"{format_count(swallowed, 'spoon')} swallowed hold up to {swallowed_mg:.0f} mg of "
        f"caffeine, "
        f"after {planned.earlier_mg:.0f} mg earlier that day. Up to {CAFFEINE_ONCE_MG} mg at once "
        f"and {CAFFEINE_DAY_MG} mg a day raise no safety concern for adults in general, "
        f"{PREGNANT_DAY_MG} mg a day in pregnancy (EFSA 2015). Information, not medical advice."
    )


def _finds_coarse_answer(planned: TableFacts) -> str:
    gap = planned.gap
    if gap is None:
        return ""
    # Tasters differ independently, so a gap shrinks with the root of their number.
    believing = gap.believing_points * sqrt(gap.tasters / planned.tasters)
    if believing <= gap.matters_points:
        return ""
    return (
        f"With {format_count(planned.tasters, 'taster')} only gaps from {believing:.1f} points are "
        f"worth believing, and {gap.matters_points:g} matter: the table is likely to answer "
        '"can\'t tell".'
    )


SCALD = Rule(
    word="scald",
    finds=_finds_scald,
    stops=lambda _: True,
    adjustments=(
        Adjustment(
            field="timing.taste_from_s",
            step=SECONDS_A_MINUTE,
            end=MOST_WAIT_S,
            says=lambda now, to: (
                f"start {(to - now) / SECONDS_A_MINUTE:g} min later, at {clock(to)}"
            ),
        ),
    ),
)
LIQUID = Rule(
    word="liquid",
    finds=_finds_dry_bowls,
    stops=lambda _: True,
    adjustments=(
        Adjustment(
            field="cups",
            step=1,
            end=MOST_CUPS,
            says=lambda now, to: f"set {format_count(int(to), 'bowl')} of each coffee, not {now:g}",
        ),
        Adjustment(
            field="spoons",
            step=-1,
            end=1,
            says=lambda now, to: (
                f"take {format_count(int(to), 'spoon')} a bowl and round, not {now:g}"
            ),
        ),
        FEWER_ROUNDS,
        Adjustment(
            field="tasters",
            step=-1,
            end=1,
            says=lambda now, to: f"sit with {format_count(int(now - to), 'taster')} fewer, {to:g}",
        ),
    ),
)
TIME = Rule(
    word="time",
    finds=_finds_long_tasting,
    stops=lambda _: False,
    adjustments=(FEWER_ROUNDS, FEWER_PLACES, FEWER_CUPS),
)
CAFFEINE = Rule(
    word="caffeine",
    finds=_finds_caffeine,
    stops=lambda _: False,
    adjustments=(
        Adjustment(
            field="swallowed",
            step=-1,
            end=0,
            says=lambda _, to: f"spit, and swallow at most {format_count(int(to), 'spoon')}",
        ),
    ),
)
GAP = Rule(
    word="gap",
    finds=_finds_coarse_answer,
    stops=lambda _: False,
    adjustments=(
        Adjustment(
            field="tasters",
            step=1,
            end=MOST_TASTERS,
            says=lambda now, to: f"ask {format_count(int(to - now), 'more taster')}",
        ),
        Adjustment(
            field="gap.matters_points",
            step=0.1,
            end=MOST_GAP,
            says=lambda _, to: f"ask only for gaps from {to:g} points",
        ),
    ),
)
