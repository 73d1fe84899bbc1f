"""Fill an invented lab, by the same services that a person's clicks reach."""

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from crustbreak.core.randomness import SeededRandom
from crustbreak.core.units import utc_text
from crustbreak.demo.arrival import play_arrival
from crustbreak.demo.scenario import (
    ANCHORS,
    ARRIVAL_DAYS_AGO,
    CLOSE,
    CONTROL,
    CONTROL_TOTAL,
    CURRENCY,
    DECIDED,
    DECIDED_BY,
    DECIDED_CUT_OFF,
    DECIDED_OCCASION,
    DECIDED_REASON,
    HISTORY,
    KETTLES,
    LEANINGS,
    LINES,
    LOOK_OFF,
    OFFERED,
    READY_COFFEES,
    READY_CUT_OFF,
    READY_OCCASION,
    READY_TASTERS,
    SETTER,
    TASTERS,
    Opinion,
    Sitting,
    Told,
)
from crustbreak.domain.planning.lab_settings import SETTINGS, LabSettingsDraft
from crustbreak.domain.planning.plan_request import PlanDraft, Terms
from crustbreak.domain.records.lab_settings import SHIPPED
from crustbreak.domain.records.tables import Place, Table
from crustbreak.domain.sheets.definition import Line, Sheet
from crustbreak.ports.lab import Lab
from crustbreak.services.devices.join import Seated, take_seat
from crustbreak.services.devices.submissions import receive_entries
from crustbreak.services.lab.settings import change_lab_settings
from crustbreak.services.planning.plan import plan_table
from crustbreak.services.results.decide import decide, evidence_of
from crustbreak.services.tables.actions import break_first, pour_first, table_set, uncover
from crustbreak.services.tables.keys import open_key_to_set
from crustbreak.services.tables.views import view_table

BATCH = 100

# Three lines of five bowls at two points each, none flagged. Source: [S1].
EVEN_AND_CLEAN = 30.0
# Who gives a coffee no more than so many points from the cut-off calls it "look again".
CALL_AGAIN_WITHIN = 0.75


class ScriptedClock:
    """A clock that stands until it is moved, so that the script has a morning of its own."""

    def __init__(self, start: datetime) -> None:
        self.moment = start

    def now(self) -> datetime:
        """Return the moment at which the script is."""
        return self.moment

    def pass_minutes(self, minutes: float) -> None:
        """Let time pass."""
        self.moment += timedelta(minutes=minutes)


def fill_demo(lab: Lab) -> None:
    """Add what a lab has after two months: decided tables, one to decide, one ready to pour."""
    _settle(lab)
    for sitting in (*HISTORY, CLOSE):
        clock = ScriptedClock(lab.clock.now() - timedelta(days=sitting.days_ago))
        _play_sitting(replace(lab, clock=clock), clock, sitting)
    clock = ScriptedClock(lab.clock.now() - timedelta(days=ARRIVAL_DAYS_AGO))
    play_arrival(replace(lab, clock=clock), clock.pass_minutes, _play_said)
    clock = ScriptedClock(lab.clock.now() - timedelta(days=1))
    _play_decided(replace(lab, clock=clock), clock)
    ready = plan_table(
        lab,
        "choose",
        PlanDraft(
            occasion=READY_OCCASION,
            coffees=READY_COFFEES,
            terms=_terms(READY_COFFEES),
            tasters=READY_TASTERS,
            cut_off=READY_CUT_OFF,
            setter=SETTER,
            duplicate=True,
            controls=(CONTROL,),
        ),
    )
    open_key_to_set(lab, ready)
    table_set(lab, ready)


def _play_sitting(lab: Lab, clock: ScriptedClock, sitting: Sitting) -> None:
    chance = SeededRandom(sitting.occasion.encode())
    told = tuple(_imagined(name, total, sitting.cut_off, chance) for name, total in sitting.coffees)
    table = _play(lab, clock, sitting.occasion, sitting.cut_off, told)
    if sitting.reason:
        said = {each["coffee"]: each["word"] for each in evidence_of(lab, table)["suggestions"]}
        decide(lab, table, said, reason=sitting.reason, decided_by=DECIDED_BY)


def _settle(lab: Lab) -> None:
    # Before the first of the tables, which go by what held when they were planned.
    clock = ScriptedClock(lab.clock.now() - timedelta(days=90))
    figures = {each.name: float(getattr(SHIPPED, each.name)) for each in SETTINGS}
    draft = LabSettingsDraft(anchors=ANCHORS, currency=CURRENCY, figures={**figures, **KETTLES})
    change_lab_settings(replace(lab, clock=clock), draft)


def _terms(names: tuple[str, ...]) -> tuple[Terms, ...]:
    offered = [OFFERED.get(name, (None, None)) for name in names]
    return tuple(Terms(price=price, kilos=kilos) for price, kilos in offered)


def _control(occasion: str, cut_off: float) -> Told:
    return _imagined(CONTROL, CONTROL_TOTAL, cut_off, SeededRandom(f"control {occasion}".encode()))


def _imagined(name: str, total: float, cut_off: float, chance: SeededRandom) -> Told:
    given = [
        total + leaning + LOOK_OFF * (chance.below(201) + chance.below(201) - 200) / 100
        for leaning in LEANINGS
    ]
    return Told(
        name=name,
        opinions=tuple(Opinion(_spread_over_lines(each, chance)) for each in given),
        calls=tuple(_call(each - cut_off) for each in given),
        verdict="",
    )


def _spread_over_lines(total: float, chance: SeededRandom) -> tuple[float, ...]:
    """Return the seven lines, by quarters, that add up with thirty to about a total."""
    quarters = round(4 * (total - EVEN_AND_CLEAN))
    each, more = divmod(quarters, len(LINES))
    lifted = set(chance.shuffled(range(len(LINES)))[:more])
    return tuple((each + (nth in lifted)) / 4 for nth in range(len(LINES)))


def _call(over: float) -> str:
    if abs(over) < CALL_AGAIN_WITHIN:
        return "look again"
    return "buy" if over > 0 else "decline"


def _play_decided(lab: Lab, clock: ScriptedClock) -> None:
    table = _play(lab, clock, DECIDED_OCCASION, DECIDED_CUT_OFF, DECIDED)
    clock.pass_minutes(15)
    decide(
        lab,
        table,
        {told.name: told.verdict for told in DECIDED},
        reason=DECIDED_REASON,
        decided_by=DECIDED_BY,
    )


def _play(
    lab: Lab, clock: ScriptedClock, occasion: str, cut_off: float, told: tuple[Told, ...]
) -> Table:
    """Plan, set, pour, taste and uncover a table."""
    names = tuple(each.name for each in told)
    table = plan_table(
        lab,
        "choose",
        PlanDraft(
            occasion=occasion,
            coffees=names,
            terms=_terms(names),
            tasters=TASTERS,
            cut_off=cut_off,
            setter=SETTER,
            controls=(CONTROL,),
        ),
    )
    by_name = {each.name: each for each in (*told, _control(occasion, cut_off))}
    told_of = {place: by_name[name] for place, name in open_key_to_set(lab, table).items()}
    clock.pass_minutes(40)
    table_set(lab, table)
    clock.pass_minutes(5)
    pour_first(lab, table)
    clock.pass_minutes(table.recipe.steep_s / 60)
    break_first(lab, table)
    clock.pass_minutes(30)
    for nth in range(len(TASTERS)):
        _taste(lab, table, told_of, nth)
    clock.pass_minutes(4)
    uncover(lab, table)
    return table


def _play_said(lab: Lab, table: Table, said: list[dict[str, Any]], nth: int = 0) -> None:
    """Take the nth seat, and send what is said from it."""
    token = view_table(lab, table.id).invitation
    seated = take_seat(lab, token, table.seats[nth].id, lab.randomness.secret())
    _send(lab, seated, lab.sheet(table.sheet), said)


def _taste(lab: Lab, table: Table, told_of: dict[str, Told], nth: int) -> None:
    sheet = lab.sheet(table.sheet)
    said: list[dict[str, Any]] = []
    for place in table.places:
        said += _marks(sheet, place, told_of[place.id].opinions[nth])
    said.append({"kind": "hand_in"})
    said += [
        {"kind": "call", "place": place.id, "value": told_of[place.id].calls[nth]}
        for place in table.places
    ]
    _play_said(lab, table, said, nth)


def _marks(sheet: Sheet, place: Place, opinion: Opinion) -> list[dict[str, Any]]:
    points = dict(zip(LINES, opinion.points, strict=True))
    flags = {(line, bowl): word for line, bowl, word in opinion.flags}
    said = []
    for line in sheet.scored:
        if line.kind == "scale":
            said.append(_mark(line, place, points[line.id]))
        else:
            said += [
                _mark(line, place, flags.get((line.id, cup), line.options[0].id), cup=cup)
                for cup in range(1, place.cups + 1)
            ]
    note = sheet.line("note")
    if note and opinion.note:
        said.append({**_mark(note, place, opinion.note), "round": "hot"})
    return said


def _mark(
    line: Line, place: Place, value: float | str, *, cup: int | None = None
) -> dict[str, Any]:
    return {
        "kind": "mark",
        "place": place.id,
        "cup": cup,
        "line": line.id,
        "round": line.round,
        "value": value,
    }


def _send(lab: Lab, seated: Seated, sheet: Sheet, said: list[dict[str, Any]]) -> None:
    ids = SeededRandom(lab.randomness.seed())
    entries = [
        {
            "id": ids.identity(),
            "grip": seated.grip,
            "no": no,
            "sheet": sheet.ref,
            "device_time": utc_text(lab.clock.now()),
            **each,
        }
        for no, each in enumerate(said, start=1)
    ]
    for start in range(0, len(entries), BATCH):
        receive_entries(lab, seated, entries[start : start + BATCH])
