"""An arrival of the invented lab, from the plan to the claim clock."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

from crustbreak.demo.scenario import (
    ARRIVAL,
    ARRIVAL_CALL,
    ARRIVAL_CONTRACT,
    ARRIVAL_DAYS_AGO,
    ARRIVAL_DISCHARGED_DAYS_AGO,
    ARRIVAL_NEXT,
    ARRIVAL_OCCASION,
    ARRIVAL_OLD_SCORE,
    ARRIVAL_PHYSICALS,
    ARRIVAL_REASON,
    ARRIVAL_SAID,
    ARRIVAL_STOOD,
    ARRIVAL_TASTER,
    ARRIVAL_WITHIN,
    DECIDED_BY,
    ScriptedBowl,
)
from crustbreak.domain.grading.physicals import PhysicalsDraft
from crustbreak.domain.planning.plan_request import PlanDraft
from crustbreak.domain.records.numbered_bowls import BowlReading
from crustbreak.domain.records.physicals import Measurement
from crustbreak.domain.records.tables import Place, Table
from crustbreak.domain.trade.claims import ClaimDraft
from crustbreak.domain.trade.contracts import DISCHARGE
from crustbreak.ports.lab import Lab
from crustbreak.services.planning.plan import plan_table
from crustbreak.services.results.claims import keep_claim
from crustbreak.services.results.decide import decide, subjects_to_decide
from crustbreak.services.results.physicals import keep_physicals
from crustbreak.services.tables.actions import break_first, pour_first, table_set, uncover
from crustbreak.services.tables.bowl_numbers import read_bowls
from crustbreak.services.tables.keys import bowls_to_fill

Sit = Callable[[Lab, Table, list[dict[str, Any]]], None]


def play_arrival(lab: Lab, pass_minutes: Callable[[float], None], sit: Sit) -> Table:
    """Plan, fill, taste, wash up and decide a comparison, and write down what stands beside it.

    Args:  pass_minutes: lets time pass. sit: takes the one taster's seat and sends what is said.
    """
    table = plan_table(
        lab,
        "match",
        PlanDraft(
            occasion=ARRIVAL_OCCASION,
            coffees=tuple(ARRIVAL),
            tasters=(ARRIVAL_TASTER,),
            cut_off=ARRIVAL_WITHIN,
            setter=ARRIVAL_TASTER,
            numbered=True,
        ),
    )
    bowl_at = _bowls_by_place(lab, table)
    pass_minutes(12)
    table_set(lab, table)
    pour_first(lab, table)
    pass_minutes(table.recipe.steep_s / 60)
    break_first(lab, table)
    pass_minutes(18)
    said = [each for place, bowl in bowl_at for each in _marks(place, bowl)]
    sit(lab, table, [*said, {"kind": "hand_in"}, {"kind": "call", "value": ARRIVAL_CALL}])
    pass_minutes(6)
    places = zip(table.blind, ARRIVAL_STOOD, strict=True)
    read_bowls(lab, table, [BowlReading(place_id=place.id, number=nth) for place, nth in places])
    uncover(lab, table)
    _write_down(lab, table)
    words = dict.fromkeys(subjects_to_decide(lab, table), ARRIVAL_CALL)
    decide(
        lab,
        table,
        words,
        reason=ARRIVAL_REASON,
        decided_by=DECIDED_BY,
        next_step=ARRIVAL_NEXT,
    )
    return table


def _bowls_by_place(lab: Lab, table: Table) -> list[tuple[Place, ScriptedBowl]]:
    left = {name: list(bowls) for name, bowls in ARRIVAL.items()}
    of_number = {
        number: left[coffee.name].pop(0)
        for bowl_group, coffee in bowls_to_fill(lab, table)
        for number in bowl_group.bowls
    }
    places = zip(table.blind, ARRIVAL_STOOD, strict=True)
    return [(place, of_number[number]) for place, number in places]


def _marks(place: Place, bowl: ScriptedBowl) -> list[dict[str, Any]]:
    where = {"kind": "mark", "place": place.id, "round": "taste"}
    given = {
        "difference": bowl.value,
        "direction": bowl.way,
        "differs": bowl.differs,
        "note": bowl.note,
    }
    return [{**where, "line": line, "value": value} for line, value in given.items() if value != ""]


def _write_down(lab: Lab, table: Table) -> None:
    names = ("at_approval", "found", "least", "most")
    readings = {
        measure: Measurement(measure=measure, **dict(zip(names, figures, strict=True)))
        for measure, figures in ARRIVAL_PHYSICALS.items()
    }
    draft = PhysicalsDraft(readings=readings, by=ARRIVAL_TASTER, **ARRIVAL_OLD_SCORE)
    keep_physicals(lab, table, draft)
    # So many days before the lab is opened, so that its clock stands where it is to stand.
    discharged = (lab.clock.now() - _since_discharge()).astimezone().date()
    keep_claim(
        lab,
        table,
        ClaimDraft(
            discharged=discharged.isoformat(),
            cleared="",
            contract=ARRIVAL_CONTRACT,
            own_days="",
            own_from=DISCHARGE,
            clause="",
            said=ARRIVAL_SAID,
            by=ARRIVAL_TASTER,
        ),
    )


def _since_discharge() -> timedelta:
    return timedelta(days=ARRIVAL_DISCHARGED_DAYS_AGO - ARRIVAL_DAYS_AGO)
