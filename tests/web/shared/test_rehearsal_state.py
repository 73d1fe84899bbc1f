"""A rehearsal makes of the taps what the lab makes of them."""

import json
import subprocess
from pathlib import Path
from typing import Any

import pytest
from at_the_table import StandingClock, planned
from on_node import find_node

from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.entries import EventKind
from crustbreak.ports.lab import Lab
from crustbreak.services.tables.actions import look_at, table_set
from crustbreak.services.tables.views import view_table
from crustbreak.web.host.table.rehearsal import rehearsal_plan
from crustbreak.web.phone.bowl_payloads import clocks_data

STATIC = Path(__file__).parents[3] / "src/crustbreak/web/static/shared/rehearsal-state.js"
SCRIPT = f"""
import {{ rehearsalState }} from "{STATIC}";
const {{ plan, taps, at }} = JSON.parse(process.argv[1]);
console.log(JSON.stringify(rehearsalState(plan, taps, at)));
"""
MOMENTS = ("pour_s", "break_s", "skim_s", "taste_s", "is_spilt")

# What is tapped, of which bowl (0: of the table), how many seconds after the first pour.
Tap = tuple[EventKind, int, int]
POUR: Tap = ("poured", 0, 0)
BREAK: Tap = ("broken", 0, 247)
STORIES: dict[str, list[Tap]] = {
    "nothing but the pour": [POUR],
    "a late first break": [POUR, BREAK],
    "a bowl poured late": [POUR, ("bowl poured", 2, 75), BREAK],
    "a bowl poured early": [POUR, ("bowl poured", 4, 3), BREAK],
    "a bowl broken late": [POUR, BREAK, ("bowl broken", 3, 290)],
    "a bowl poured and broken": [POUR, ("bowl poured", 2, 40), BREAK, ("bowl broken", 2, 300)],
    "a spilt one and the skim": [POUR, ("bowl spilt", 5, 100), BREAK, ("skimmed", 0, 420)],
    "broken before it was poured": [POUR, ("bowl broken", 5, 5), BREAK],
    "skimmed before it was broken": [
        POUR,
        BREAK,
        ("bowl skimmed", 1, 250),
        ("bowl broken", 1, 260),
    ],
    "broken after it was spilt": [POUR, ("bowl spilt", 3, 90), BREAK, ("bowl broken", 3, 300)],
    "one skimmed by itself": [POUR, BREAK, ("bowl skimmed", 1, 400), ("skimmed", 0, 500)],
}


def in_the_lab(lab: Lab, clock: StandingClock, table: Table, taps: list[Tap]) -> None:
    since = 0
    for kind, bowl, at in taps:
        clock.pass_seconds(at - since)
        since = at
        about: dict[str, Any] = {"place_id": table.places[0].id, "cup": bowl} if bowl else {}
        lab.repository.write(
            lambda records, kind=kind, about=about: records.add_event(
                table.id, kind, at=clock.now(), **about
            )
        )


def on_the_page(plan: dict[str, Any], taps: list[Tap], *, at: int) -> dict[str, Any]:
    place = plan["places"][0]["id"]
    told = {
        "plan": plan,
        "at": at,
        "taps": [
            {
                "kind": kind,
                "value": None,
                "place": place,
                "cup": bowl,
                "at": moment,
                "name": f"0.{no}",
            }
            for no, (kind, bowl, moment) in enumerate(taps)
        ],
    }
    run = subprocess.run(
        [find_node(), "--input-type=module", "--eval", SCRIPT, json.dumps(told)],
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    said: dict[str, Any] = json.loads(run.stdout)
    return said


@pytest.mark.parametrize("story", STORIES)
def test_the_page_and_the_lab_tell_the_same_clocks_and_bowls(
    lab: Lab, clock: StandingClock, story: str
) -> None:
    table, taps = planned(lab), STORIES[story]
    plan = rehearsal_plan(lab, table)
    table_set(lab, table)
    in_the_lab(lab, clock, table, taps)
    clock.pass_seconds(520 - taps[-1][2])

    page = on_the_page(plan, taps, at=520)

    _, state = look_at(lab, table.id)
    told = [[each[name] for name in MOMENTS] for each in clocks_data(table, state)]
    assert [[each[name] for name in MOMENTS] for each in page["run"]["clocks"]] == told
    ignored = [fact["kind"] for fact in page["facts"] if fact["is_vain"]]
    assert ignored == [fact.kind for fact in state.bowls.ignored]
    held = [cup for place in table.places for cup in page["cups"][place.id]]
    assert held == list(view_table(lab, table.id).cups)
