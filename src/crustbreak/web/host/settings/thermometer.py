"""The page on which a lab says what its thermometer found in a bowl."""

from collections.abc import Mapping
from typing import Annotated, Any

from fastapi import FastAPI, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from crustbreak.core.errors import Problem
from crustbreak.core.units import SECONDS_A_MINUTE, TASTE_BELOW_C, clock
from crustbreak.domain.planning.thermometer_input import MOST_READINGS, BowlDraft
from crustbreak.domain.records.recipes import Recipe
from crustbreak.ports.lab import Lab
from crustbreak.services.lab.protocols import every_protocol, offered_protocols
from crustbreak.services.lab.settings import lab_settings_of
from crustbreak.services.lab.thermometer import (
    FirstRound,
    KnownBowl,
    known_bowls,
    measure_bowl,
    put_bowl_back,
)
from crustbreak.web.host.plan.forms import read_form
from crustbreak.web.http.numbers import read_number
from crustbreak.web.http.pages import answer_form, fill

ASKED = ("kind", "protocol", "name", "room_c")
NUMBERS = tuple(f"{what}_{nth}" for nth in range(1, MOST_READINGS + 1) for what in ("at", "c"))


def add_bowl_page(app: FastAPI, lab: Lab) -> None:
    """Add the page, and the two forms that it sends."""

    @app.get("/house/bowl", response_class=HTMLResponse)
    def bowl(kept: str = "", table: str = "") -> HTMLResponse:
        return HTMLResponse(
            fill("host/thermometer.html", bowl_view(lab, kept=kept, table_id=table))
        )

    @app.post("/house/bowl")
    async def measure(request: Request) -> Response:
        typed = await read_form(request)
        return await run_in_threadpool(_measure, lab, typed)

    @app.post("/house/bowl/back")
    def back(kind: Annotated[str, Form()] = "") -> Response:
        put_bowl_back(lab, kind)
        return RedirectResponse("/house/bowl?kept=back", status_code=303)


def _measure(lab: Lab, typed: Mapping[str, str]) -> Response:
    def measure() -> str:
        measure_bowl(lab, read_bowl(typed))
        return "/house/bowl?kept=reading"

    return answer_form(
        measure, "host/thermometer.html", lambda found: bowl_view(lab, typed=typed, problems=found)
    )


def read_bowl(typed: Mapping[str, str]) -> BowlDraft:
    """Read the form; what cannot be read is None and found by the check."""
    texts = [
        (typed.get(f"at_{nth}", ""), typed.get(f"c_{nth}", ""))
        for nth in range(1, MOST_READINGS + 1)
    ]
    return BowlDraft(
        kind=typed.get("kind", ""),
        protocol=typed.get("protocol", ""),
        name=typed.get("name", "").strip(),
        room_c=read_number(typed.get("room_c", "")),
        readings=tuple(
            (read_span(at), read_number(c)) for at, c in texts if at.strip() or c.strip()
        ),
    )


def read_span(text: str) -> float | None:
    """Read minutes since the pour, as a clock or as a number, in seconds; None when it is neither.

    >>> read_span("10:30"), read_span("10,5"), read_span("soon")
    (630.0, 630.0, None)
    """
    minutes, colon, seconds = text.partition(":")
    whole, rest = read_number(minutes), read_number(seconds) if colon else 0.0
    if whole is None or rest is None:
        return None
    return whole * SECONDS_A_MINUTE + rest


def bowl_view(
    lab: Lab,
    *,
    typed: Mapping[str, str] | None = None,
    problems: tuple[Problem, ...] = (),
    kept: str = "",
    table_id: str = "",
) -> dict[str, Any]:
    """Return what the page shows: each kind as it is known, and the form as it was typed."""
    lab_settings, known = lab_settings_of(lab), known_bowls(lab)
    if typed is None:
        recipe = (
            lab.repository.read(lambda records: records.table(table_id)).recipe
            if table_id
            else None
        )
        typed = {
            "kind": (recipe and recipe.bowl) or lab_settings.bowl,
            "protocol": _protocol_of(lab, recipe) or lab_settings.protocol,
            "room_c": f"{lab_settings.room_c:g}",
        }
    return {
        "lab": lab,
        "kinds": [each.kind for each in known],
        "protocols": offered_protocols(lab, chosen=typed.get("protocol", "")),
        "change": _last_change(known),
        "bowls": [bowl_data(each, tasted=each.kind == lab_settings.bowl) for each in known],
        "typed": {name: typed.get(name, "") for name in (*ASKED, *NUMBERS)},
        "problems": problems,
        "kept": kept,
        "table_id": table_id,
        "taste_below_c": TASTE_BELOW_C,
    }


def _last_change(known: tuple[KnownBowl, ...]) -> str:
    """Return what the last thing that was kept changed, of whichever kind; empty for none."""
    kept = [each for each in known if each.found]
    if not kept:
        return ""
    last = max(kept, key=lambda each: each.found[-1].since)
    return f"{last.kind.capitalize()}: {now_text(last.now)} {_change_of(last)}"


def _change_of(known: KnownBowl) -> str:
    return change_text(known.before, known.now) if known.before else ""


def _protocol_of(lab: Lab, recipe: Recipe | None) -> str:
    """Return the protocol by which a table was poured.

    Empty where it is none of those there are.
    """
    if recipe is None:
        return ""
    every = every_protocol(lab).values()
    return next((each.ref for each in every if each.recipe(pace_s=recipe.pace_s) == recipe), "")


def bowl_data(known: KnownBowl, *, tasted: bool) -> dict[str, Any]:
    """Return what is known of a kind of bowl, and what the last thing that was kept changed."""
    found = known.measured
    return {
        "kind": known.kind,
        "tasted": tasted,
        "title": found.name if found else known.kind,
        "measured": found is not None,
        "now": now_text(known.now),
        "change": _change_of(known),
        "readings": [
            f"{each.since:%Y-%m-%d}: {_said(each.readings)}, room {each.room_c:g} °C"
            if each.is_measured
            else f"{each.since:%Y-%m-%d}: put back to the unmeasured one"
            for each in known.found
        ],
    }


def now_text(now: FirstRound) -> str:
    """Return in words from when on a bowl may be tasted, and how sure that is."""
    cool = now.cool
    return (
        f"First round from {clock(now.from_s)} after its pour. It is down to {TASTE_BELOW_C} °C "
        f"most likely at {clock(cool.at_s)}; nine bowls in ten are between {clock(cool.early_s)} "
        f"and {clock(cool.late_s)}."
    )


def change_text(before: FirstRound, now: FirstRound) -> str:
    """Return how far the last thing that was kept moved the first round.

    And how much surer it is.
    """
    by_s = now.from_s - before.from_s
    moved = f"{clock(abs(by_s))} {'later' if by_s > 0 else 'sooner'} than before" if by_s else ""
    return (
        f"The last change moved the first round: {moved or 'not at all'}. Before it, nine in ten "
        f"were between {clock(before.cool.early_s)} and {clock(before.cool.late_s)}, a span of "
        f"{_span(before)}; now it is {_span(now)}."
    )


def _span(first: FirstRound) -> str:
    return f"{clock(first.cool.late_s - first.cool.early_s)} min"


def _said(readings: tuple[tuple[float, float], ...]) -> str:
    return ", ".join(f"{c:g} °C at {clock(at_s)}" for at_s, c in readings)
