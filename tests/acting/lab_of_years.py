"""A lab with as many decided tables as asked for, a table in every state, and its host's pages."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from at_a_match import ALIKE, planned_match, tasted_match
from at_the_door import host_client
from at_the_table import (
    LoadedDice,
    StandingClock,
    finish,
    planned,
    said,
    seated,
    send,
    under_way,
    whole_sheet,
)
from fastapi.testclient import TestClient
from many_tables import A_DAY, clone_tables
from whole_tables import taste_whole

from crustbreak.domain.planning.plan_request import PlanDraft
from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.services.planning.screening import plan_screening, view_screening
from crustbreak.services.results.decide import decide, subjects_to_decide
from crustbreak.services.tables.actions import look_at, table_set
from crustbreak.services.tables.cut_off import move_cut_off
from crustbreak.wiring import open_lab

CONTROL = "Old Post"
TASTERS = ("Odile", "Anouk", "Ines")
# Each with coffees, totals and opinions of its own; more copies of these are more of the same.
CHOOSE_TABLES = 4
MATCH_TABLES = 2


@dataclass(frozen=True)
class Grown:
    """A lab that has decided tables, opened.

    tables:  by where each stands; `decided` and `match` are decided ones.
    """

    lab: Lab
    host: TestClient
    tables: Mapping[str, Table]

    def address(self, page: str) -> str:
        """Give the address of one of `PAGES`."""
        ids = {state: table.id for state, table in self.tables.items()}
        first = self.tables["flight"].screening
        return PAGES[page].format(**ids, screening=first.id if first else "")


# Page to address, with ids of the tables.
PAGES = {
    "live fragment": "/tables/{set}/live",
    "live fragment, under way": "/tables/{under_way}/live",
    "today": "/",
    "plan": "/plan/choose",
    "plan like the last": "/plan/choose?like={decided}",
    "plan a match": "/plan/match",
    "table, planned": "/tables/{planned}",
    "table, set": "/tables/{set}",
    "table, under way": "/tables/{under_way}",
    "table, handed in": "/tables/{handed_in}",
    "table, called": "/tables/{called}",
    "evidence": "/tables/{uncovered}",
    "evidence, decided": "/tables/{decided}",
    "result of a match": "/tables/{match}",
    "memo": "/tables/{decided}/memo",
    "approval note": "/tables/{match}/memo",
    "physicals": "/tables/{match}/physicals",
    "claim clock": "/tables/{match}/claim",
    "claim pack": "/tables/{match}/claim-pack",
    "first look": "/first-looks/{screening}",
    "settings": "/house",
    "protocols": "/house/protocols",
    "thermometer": "/house/bowl",
    "rehearsal": "/tables/{set}/rehearsal",
}


def stir(grown: Grown) -> None:
    """Change what the evidence of the uncovered table is made of."""
    table, state = look_at(grown.lab, grown.tables["uncovered"].id)
    move_cut_off(grown.lab, table, state.cut_off + 0.25, "A dearer market.")


@contextmanager
def grown_lab(folder: Path, decided: int) -> Iterator[Grown]:
    """Open a lab of so many decided tables, at least six, with one more in every state."""
    clock, randomness = StandingClock(), LoadedDice()
    with open_lab(folder, name="Test lab", clock=clock, randomness=randomness) as lab:
        tables = list(_decided_tables(lab, clock))
    clone_tables(folder, [table.id for table in tables], decided - len(tables))
    with open_lab(folder, name="Test lab", clock=clock, randomness=randomness) as lab:
        by_state = {"decided": tables[0], "match": tables[-1], **_in_every_state(lab)}
        clock.pass_seconds(600)
        with host_client(lab) as host:
            yield Grown(lab, host, by_state)


def _decided_tables(lab: Lab, clock: StandingClock) -> Iterator[Table]:
    for nth in range(CHOOSE_TABLES):
        coffees = tuple(f"Hill {nth} {row}" for row in ("low", "mid", "high", "top"))
        table = planned(lab, tasters=TASTERS[: 2 + nth % 2], coffees=coffees, controls=(CONTROL,))
        truth = {name: 81.5 + 1.25 * row for row, name in enumerate(coffees)}
        taste_whole(lab, table, {**truth, CONTROL: 83.0}, seed=nth)
        _decide(lab, table)
        yield table
        clock.moment += A_DAY
    for nth in range(MATCH_TABLES):
        table = planned_match(lab, coffees=(f"Oskelan {nth}, approved", f"Oskelan {nth}, arrival"))
        named = zip(_names(lab, table), ALIKE.values(), strict=True)
        tasted_match(lab, table, dict(named))
        _decide(lab, table)
        yield table
        clock.moment += A_DAY


def _names(lab: Lab, table: Table) -> list[str]:
    return [
        coffee.name for coffee in lab.repository.read(lambda records: records.coffees(table.id))
    ]


def _decide(lab: Lab, table: Table) -> None:
    word = lab.plugin(table.question).question.verdicts[0]
    words = dict.fromkeys(subjects_to_decide(lab, table), word)
    decide(lab, table, words, reason="It tastes so.", decided_by="Piet")


def _in_every_state(lab: Lab) -> dict[str, Table]:
    asked: dict[str, Any] = {"tasters": TASTERS, "controls": (CONTROL,)}
    states = {"planned": planned(lab, **asked), "set": planned(lab, **asked)}
    table_set(lab, states["set"])
    for name in ("under_way", "handed_in", "called"):
        states[name] = under_way(lab, **asked)
    for nth in range(len(TASTERS)):
        at = seated(lab, states["under_way"], nth)
        send(lab, at, whole_sheet(lab, at)[:20])
        at = seated(lab, states["handed_in"], nth)
        marks = whole_sheet(lab, at)
        send(lab, at, [*marks, said(at, len(marks) + 1, "hand_in")])
        finish(lab, seated(lab, states["called"], nth))
    states["uncovered"] = planned(lab, **asked)
    _taste(lab, states["uncovered"])
    states["flight"] = _first_look(lab)
    return states


def _first_look(lab: Lab) -> Table:
    """Plan a screening at eighteen offers, taste one flight of it, and give that."""
    draft = PlanDraft(
        occasion="Spring flood",
        coffees=tuple(f"Venn {nth}" for nth in range(18)),
        tasters=TASTERS,
        cut_off=84.0,
        setter="Piet",
        controls=(CONTROL,),
    )
    first = plan_screening(lab, "choose", draft)
    table = view_screening(lab, first.id, best=1).flights[0][0]
    _taste(lab, table)
    return table


def _taste(lab: Lab, table: Table) -> None:
    truth = {name: 82.0 + nth / 2 for nth, name in enumerate(_names(lab, table))}
    taste_whole(lab, table, truth)
