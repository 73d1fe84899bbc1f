"""One bowl on the host's page: its clock, what was noted of it, and the keys to note more."""

from collections.abc import Callable, Mapping
from typing import Annotated, Any

from fastapi import FastAPI, Form
from fastapi.responses import RedirectResponse, Response

from crustbreak.core.errors import NotThere, Problem, Unacceptable
from crustbreak.core.units import clock
from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.bowl_facts import FACT_KINDS, FIGURES, UNDONE, Noted
from crustbreak.domain.tables.clocks import CupClock, cup_clock
from crustbreak.domain.tables.deviations import deviations_of
from crustbreak.domain.tables.state import SETTLED_STATES
from crustbreak.ports.lab import Lab
from crustbreak.reports.sections.bowl_deviations import deviation_texts
from crustbreak.services.tables.actions import look_at
from crustbreak.services.tables.bowl_notes import Note, note_bowl
from crustbreak.services.tables.views import HostView
from crustbreak.web.http.numbers import read_number
from crustbreak.web.phone.bowl_payloads import since_pour_s

# A fact's kind: how it is said, and its key, with what is typed.
SAID = {
    "bowl poured": ("Poured", "Poured now"),
    "bowl broken": ("Broken", "Broken now"),
    "bowl skimmed": ("Skimmed", "Skimmed now"),
    "bowl spilt": ("Spilt", "Spilt"),
    "dose weighed": ("Dose", "Dose, g"),
    "water weighed": ("Water", "Water, g"),
    "heat measured": ("Measured", "Temperature, \N{DEGREE SIGN}C"),
}
UNITS = {"dose weighed": "g", "water weighed": "g", "heat measured": "\N{DEGREE SIGN}C"}


def bowl_view(
    view: HostView,
    chosen: str,
    *,
    typed: tuple[str, str] = ("", ""),
    problems: tuple[Problem, ...] = (),
) -> dict[str, Any] | None:
    """Return what stands of the bowl that was touched, and what can be noted of it.

    Args:  chosen: place id and bowl as `p1.3`; None comes of what is no bowl of this table.
           typed: kind and text of a figure that was not taken. problems: why.
    """
    place_id, _, number = chosen.rpartition(".")
    named = [(place.id, str(cup)) for place, cup in view.table.cups]
    if (place_id, number) not in named or view.state.flight in SETTLED_STATES:
        return None
    nth = named.index((place_id, number))
    place, cup = view.table.cups[nth]
    noted = view.state.bowls.of((place.id, cup))
    flags = [
        {"code": each.code, "cup": each.cup, "kind": each.kind, "off": each.off}
        for each in deviations_of(view.table, view.state)
        if (each.code, each.cup) == (place.code, cup)
    ]
    return {
        "id": chosen,
        "place_id": place.id,
        "cup": cup,
        "title": "The open bowl" if place.is_open else f"Bowl {cup} of {place.code}",
        "clock": clock_text(cup_clock(view.table, view.state, nth=nth), view),
        "facts": [*_facts(noted, view), *_ignored(view, place.id, cup)],
        "flags": deviation_texts(flags),
        "keys": [
            {"kind": kind, "word": SAID[kind][1], "has_figure": kind in FIGURES}
            for kind in FACT_KINDS
            if kind not in noted and _fits(kind, view)
        ],
        "kind": typed[0],
        "typed": typed[1],
        "problems": problems,
    }


def _fits(kind: str, view: HostView) -> bool:
    return view.state.poured_at is not None or kind in ("dose weighed", "bowl spilt")


def _facts(noted: Noted, view: HostView) -> list[dict[str, str]]:
    return [
        {"name": fact.name, "said": fact_text(kind, fact.figure, since_pour_s(view.state, fact.at))}
        for kind, fact in noted.items()
    ]


def _ignored(view: HostView, place_id: str, cup: int) -> list[dict[str, str]]:
    return [
        {
            "name": fact.name,
            "said": f"{fact_text(fact.kind, fact.figure, since_pour_s(view.state, fact.at))}: "
            "this cannot be in that order; it is kept and changes nothing",
        }
        for fact in view.state.bowls.ignored
        if (fact.place_id, fact.cup) == (place_id, cup)
    ]


def fact_text(kind: str, figure: float | None, at_s: float | None) -> str:
    """Return in words one thing noted: what, how much, and when on the table's clock."""
    said = SAID[kind][0]
    if figure is not None:
        said = f"{said} {figure:g} {UNITS[kind]}"
    return said if at_s is None or kind == "dose weighed" else f"{said} at {clock(at_s)}"


def clock_text(cup: CupClock, view: HostView) -> str:
    """Return in words a bowl's own clock: poured, broken or due, to be tasted from."""
    if cup.poured_at is None:
        return "Not poured yet."
    moments: Mapping[str, Any] = {
        "poured": cup.poured_at,
        "broken" if cup.broken_at else "break due": cup.broken_at or cup.break_due,
        "skimmed" if cup.skimmed_at else "skim due": cup.skimmed_at or cup.skim_due,
        "taste from": cup.taste_from,
    }
    said = [
        f"{word} {clock(at_s)}"
        for word, moment in moments.items()
        if (at_s := since_pour_s(view.state, moment)) is not None
    ]
    return f"On its own clock: {', '.join(said)}."


# Gives the table's page again: table id, bowl, kind and text that were not taken, and why.
Show = Callable[[str, str, tuple[str, str], tuple[Problem, ...]], Response]


def add_bowls(app: FastAPI, lab: Lab, show: Show) -> None:
    """Let the host note single bowls, and take back what was noted."""

    @app.post("/tables/{table_id}/bowls/{place_id}/{cup}/{fact}")
    def note(
        table_id: str, place_id: str, cup: int, fact: str, figure: Annotated[str, Form()] = ""
    ) -> Response:
        at, bowl = _bowl(lab, table_id, place_id, cup)
        kind = fact.replace("-", " ")
        if kind not in FACT_KINDS:
            raise NotThere(f"Nothing like '{fact}' is noted.", hint="Go back to the table.")
        read = read_number(figure) if kind in FIGURES else None
        try:
            note_bowl(lab, at, Note(kind=kind, place_id=place_id, cup=cup, figure=read))
        except Unacceptable as error:
            return show(table_id, bowl, (kind, figure), error.problems)
        return _back(table_id, bowl)

    @app.post("/tables/{table_id}/bowls/{place_id}/{cup}")
    def undo(
        table_id: str, place_id: str, cup: int, name: Annotated[str, Form(max_length=40)]
    ) -> Response:
        at, bowl = _bowl(lab, table_id, place_id, cup)
        note_bowl(lab, at, Note(kind=UNDONE, place_id=place_id, cup=cup, name=name))
        return _back(table_id, bowl)


def _bowl(lab: Lab, table_id: str, place_id: str, cup: int) -> tuple[Table, str]:
    table, _ = look_at(lab, table_id)
    place = table.place(place_id)
    if place is None or not 1 <= cup <= place.cups:
        raise NotThere("There is no such bowl.", hint="Touch a bowl on the table's picture.")
    return table, f"{place_id}.{cup}"


def _back(table_id: str, bowl: str) -> RedirectResponse:
    return RedirectResponse(f"/tables/{table_id}?bowl={bowl}#bowl", status_code=303)
