"""What can be said of a table before the water boils: grams, water, the course, what is in the way.

It puts a lab's means beside what is planned; nothing of it depends on which coffees stand there.
"""

from dataclasses import dataclass, replace

from crustbreak.analysis.scheduling.bench import Bench, Kettles, bench_from
from crustbreak.analysis.scheduling.fitting import Misfit, plan_bench
from crustbreak.analysis.scheduling.schedule import Schedule
from crustbreak.core.units import TASTE_BELOW_C
from crustbreak.domain.brewing.bowls import BOWLS, Bowl, Room
from crustbreak.domain.brewing.cooling import Due, first_round_after, first_round_s, time_to
from crustbreak.domain.brewing.water import boiling_point_c, density_kg_per_m3, highest_pour_m
from crustbreak.domain.planning.feasibility.report import issues
from crustbreak.domain.planning.feasibility.rules import Fix, Issue
from crustbreak.domain.planning.phrases import format_count
from crustbreak.domain.planning.quantities.coffee_amounts import (
    SampleUse,
    coffee_amount,
    sample_balance,
)
from crustbreak.domain.planning.quantities.drinkable_volume import liquor
from crustbreak.domain.planning.quantities.equipment import USUAL, Means
from crustbreak.domain.planning.quantities.hot_water import bowls_a_fill, water_amount
from crustbreak.domain.planning.table_facts import (
    POUR_HIGH_C,
    POUR_LOW_C,
    Boil,
    DetectableGap,
    TableFacts,
    Timing,
)
from crustbreak.domain.records.lab_settings import LabSettings
from crustbreak.domain.records.recipes import Recipe
from crustbreak.domain.records.sample_conditions import NOTHING_SAID, SampleConditions

# Water that just boils is not poured at its boiling point: so far below it at least.
OFF_THE_BOIL_C = 0.1
# Portions of a sample that are kept back, one of them sealed: common practice, no source.
RETAINED = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class TableSpec:
    """A table, as far as what it takes goes.

    places:    codes on the table, control and double among them.
    cups:      bowls under each.
    doubled:   one coffee stands under two codes.
    codes_each:  under how many the coffee that stands most often stands, where each bowl has its
               own; else 0.
    rounds:    passes over the bowls.
    believing: the smallest gap worth believing, points, and with how many tasters; None where
               nobody knows.
    people:    who pour, break and skim.
    share:     codes that each taster tastes; 0 for all of them.
    conditions:    what was said of samples, roast, grind and day.
    """

    recipe: Recipe
    places: int
    cups: int
    tasters: int
    rounds: int
    doubled: bool = False
    codes_each: int = 0
    believing: tuple[float, int] | None = None
    people: int = 1
    share: int = 0
    conditions: SampleConditions = NOTHING_SAID

    @property
    def tasters_a_code(self) -> int:
        """How many taste a code, at most."""
        return -(-self.tasters * (self.share or self.places) // self.places)


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """What the plan's page says of a table.

    takes:     what it takes, a sentence each.
    issues:   what cannot work or suffers, the gravest first.
    schedule:  who pours, breaks and skims when; None where nothing fits.
    misfit:    why nothing does, and what would mend it.
    cool:      when a bowl is down to 65 C, s from its pour: early, most likely, late.
    first_s:   the first round may be suggested, s from the pour of a bowl.
    """

    takes: tuple[str, ...]
    issues: tuple[Issue, ...]
    schedule: Schedule | None
    misfit: Misfit | None
    cool: Due
    first_s: int


def forecast_table_facts(lab_settings: LabSettings, planned: TableSpec) -> Forecast:
    """Return in words what a table takes, how it can be poured, and what is in its way.

    Question answered: can this table be set and tasted with what the lab has, and what would
    mend it.

    Raises:  Unacceptable for figures that nothing can be worked out from.
    """
    poured = as_poured(lab_settings, planned.recipe)
    bowl = bowl_of(lab_settings, planned.recipe.bowl)
    cool = time_to(bowl, room_of(lab_settings), recipe=poured, temperature_c=TASTE_BELOW_C)
    first_s = first_round_after(cool, poured)
    table = _table(lab_settings, planned, first_s=first_s)
    plan = plan_bench(
        bench_of(
            lab_settings, planned.recipe, cups=table.bowls, people=planned.people, first_s=first_s
        )
    )
    return Forecast(
        takes=_takes(table, planned, poured, plan if isinstance(plan, Schedule) else plan.quickest),
        issues=(
            *_too_few_bowls(lab_settings, table),
            *issues(table),
        ),
        schedule=plan if isinstance(plan, Schedule) else None,
        misfit=plan if isinstance(plan, Misfit) else None,
        cool=cool,
        first_s=first_s,
    )


def as_poured(lab_settings: LabSettings, recipe: Recipe) -> Recipe:
    """Return a recipe as it can be poured where the lab stands: no hotter than water gets."""
    hottest_c = boiling_point_c(lab_settings.altitude_m) - OFF_THE_BOIL_C
    return replace(recipe, pour_c=min(recipe.pour_c, hottest_c))


def first_round_of(lab_settings: LabSettings, recipe: Recipe) -> int:
    """Return from when on a lab's bowls may be tasted, s from the pour of each."""
    return first_round_s(
        bowl_of(lab_settings, recipe.bowl),
        room_of(lab_settings),
        recipe=as_poured(lab_settings, recipe),
    )


def bowl_of(lab_settings: LabSettings, kind: str = "") -> Bowl:
    """Return a kind of bowl as far as the lab measured it; without a kind.

    That it tastes from.
    """
    kind = kind or lab_settings.bowl
    bowl = next(bowl for bowl in BOWLS if bowl.kind == kind)
    found = next((each for each in lab_settings.measured if each.kind == kind), None)
    if found is None:
        return bowl
    return replace(bowl, loss_factor=found.loss_factor, loss_doubt=found.loss_doubt)


def room_of(lab_settings: LabSettings) -> Room:
    """Return the air around a lab's tables."""
    return Room(
        temperature_c=lab_settings.room_c,
        humidity_percent=lab_settings.humidity_percent,
        altitude_m=lab_settings.altitude_m,
    )


def bench_of(
    lab_settings: LabSettings,
    recipe: Recipe,
    *,
    cups: int,
    people: int = 1,
    first_s: int | None = None,
) -> Bench:
    """Return the work at a table as a lab does it: over when the first bowl may be tasted.

    Args:  first_s: when that is, where it is known already.
    """
    kettles = Kettles(
        count=int(lab_settings.kettles),
        pours=bowls_a_fill(recipe, means_of(lab_settings)),
        reheat_s=int(lab_settings.reheat_s),
    )
    bench = bench_from(
        recipe,
        cups=cups,
        people=people,
        kettles=kettles,
        skim_s=int(lab_settings.skim_s),
        gap_s=GAP_S,
    )
    if first_s is None:
        first_s = first_round_of(lab_settings, recipe)
    return replace(bench, cool_s=first_s, within_s=first_s, pourers=POURERS)


# One hot kettle moves along the table, in a clear lane, however many break and skim: common
# practice, no source.
POURERS = 1
# Between two acts of a person: a pace of 3 s leaves two to pour in.
GAP_S = 1


def means_of(lab_settings: LabSettings) -> Means:
    """Return kettles and grams as planning counts them; what a lab is not asked is as usual."""
    return replace(
        USUAL,
        purge_g=lab_settings.purge_g,
        colour_g=lab_settings.colour_g,
        loss_share=lab_settings.loss_percent / 100,
        kettles=int(lab_settings.kettles),
        kettle_ml=lab_settings.kettle_ml,
        kettle_rest_ml=lab_settings.kettle_rest_ml,
        reheat_s=lab_settings.reheat_s,
    )


def _too_few_bowls(lab_settings: LabSettings, table: TableFacts) -> tuple[Issue, ...]:
    owned, most = int(lab_settings.bowls), int(lab_settings.bowls) // table.cups
    if table.bowls <= owned:
        return ()
    found = f"The table takes {format_count(table.bowls, 'bowl')} and the house owns {owned}."
    fixes = []
    if most:
        says = f"take {format_count(table.places - most, 'code')} off the table, to {most}"
        fixes.append(Fix(field="places", to=most, step=-1, says=says))
    return (Issue(rule="bowls", found=found, stops=True, fixes=tuple(fixes)),)


def _table(lab_settings: LabSettings, planned: TableSpec, *, first_s: int) -> TableFacts:
    gap, said = None, planned.conditions
    if planned.believing is not None:
        gap = DetectableGap(
            believing_points=planned.believing[0],
            tasters=planned.believing[1],
            matters_points=lab_settings.matters_points,
        )
    return TableFacts(
        recipe=planned.recipe,
        means=means_of(lab_settings),
        timing=Timing(
            taste_from_s=first_s,
            cooled_s=first_s,
            youngest_h=said.youngest_h,
            oldest_h=said.oldest_h,
            ground_min=said.ground_min,
            lidded=said.lidded,
        ),
        use=SampleUse(
            sample_g=said.sample_g,
            graded=said.graded,
            roasts=1,
            retained=RETAINED * said.retained,
            codes=planned.codes_each or 1 + planned.doubled,
        ),
        swallowed=said.swallowed,
        earlier_mg=said.earlier_mg,
        places=planned.places,
        cups=planned.cups,
        tasters=planned.tasters_a_code,
        share=planned.share,
        rounds=planned.rounds,
        boil=Boil(
            altitude_m=lab_settings.altitude_m,
            boiling_c=boiling_point_c(lab_settings.altitude_m),
            low_reach_m=highest_pour_m(POUR_LOW_C),
            high_reach_m=highest_pour_m(POUR_HIGH_C),
        ),
        gap=gap,
    )


def _fills_text(plan: Schedule) -> str:
    each = " + ".join(str(len(fill.cups)) for fill in plan.fills)
    if len(plan.fills) == 1:
        return f"One full kettle serves all {each} bowls."
    return f"Kettles are filled {len(plan.fills)} times, for {each} bowls."


def _of_which(planned: TableSpec) -> str:
    if planned.codes_each:
        return "Of the coffee that also stands open, a bowl more than of the other"
    return "Of each coffee"


def _takes(
    table: TableFacts, planned: TableSpec, poured: Recipe, plan: Schedule
) -> tuple[str, ...]:
    recipe, means = table.recipe, table.means
    amount = coffee_amount(recipe, means, cups=table.cups * table.use.codes)
    twice = " Chance says which coffee stands twice: have enough of each." * planned.doubled
    water = water_amount(poured, bowls=table.bowls, density_kg_m3=density_kg_per_m3(poured.pour_c))
    balance = sample_balance(table.use, amount, means)
    left = liquor(recipe, means, tasters=table.tasters, spoons=table.rounds * table.spoons)
    return (
        f"{_of_which(planned)}: {amount.said}{twice}",
        *((balance.said,) if balance and balance.left_g >= 0 else ()),
        water.said,
        _fills_text(plan),
        left.said,
    )
