"""The host's pages for numbered bowls: what goes into which, and what was read under them."""

import re
from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Any

from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from crustbreak.core.errors import NotNow, Problem, refuse, told
from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.numbered_bowls import BowlReading, NumberedBowls
from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.transitions import FlightState
from crustbreak.ports.lab import Lab
from crustbreak.services.tables.actions import look_at
from crustbreak.services.tables.bowl_numbers import AFTER_CALLS, last_reading, read_bowls
from crustbreak.services.tables.keys import bowls_to_fill, open_coffee
from crustbreak.services.tables.state import demand
from crustbreak.web.host.plan.forms import read_form
from crustbreak.web.http.pages import answer_form, fill

FIELDS = ("number", "check", "mixed")
NUMBER = re.compile(r"[0-9]{1,4}")


def add_numbered_pages(app: FastAPI, lab: Lab) -> None:
    """Add the filling card, and the form for the sink."""

    @app.get("/tables/{table_id}/filling", response_class=HTMLResponse)
    def filling(table_id: str) -> HTMLResponse:
        at, state = look_at(lab, table_id)
        view = {
            "table": at,
            "flight": state.flight,
            "groups": filling_view(lab, at),
            "opened": open_coffee(lab, at),
        }
        return HTMLResponse(fill("host/filling_card.html", view))

    @app.get("/tables/{table_id}/wash-up", response_class=HTMLResponse)
    def identify_bowls(table_id: str) -> HTMLResponse:
        return HTMLResponse(fill("host/bowl_numbers.html", bowl_numbers_view(lab, table_id)))

    @app.post("/tables/{table_id}/wash-up")
    async def wash(table_id: str, request: Request) -> Response:
        typed = await read_form(request)
        return await run_in_threadpool(_bowl_numbers, lab, table_id, typed)


def filling_view(lab: Lab, table: Table) -> list[dict[str, Any]]:
    """Return the trays class by class, each class with the places that it is put down at."""
    filled = bowls_to_fill(lab, table)
    groups, first = [], 0
    for number, group in groupby(filled, key=lambda each: each[0].order_class):
        numbered_bowls = list(group)
        places = table.blind[first : first + len(numbered_bowls)]
        first += len(numbered_bowls)
        groups.append(
            {
                "number": number,
                "numbered_bowls": [
                    _bowl_group_view([bowl_group for bowl_group, _ in alike], coffee)
                    for coffee, alike in _by_coffee(numbered_bowls)
                ],
                "places": f"{places[0].code} to {places[-1].code}"
                if len(places) > 1
                else places[0].code,
            }
        )
    return groups


def _by_coffee(
    numbered_bowls: Sequence[tuple[NumberedBowls, Coffee]],
) -> list[tuple[Coffee, list[tuple[NumberedBowls, Coffee]]]]:
    """Put single bowls of one coffee, which follow each other, on one line."""

    def line(nth: int) -> tuple[str, int]:
        bowl_group, _ = numbered_bowls[nth]
        return bowl_group.coffee_id, 0 if len(bowl_group.bowls) == 1 else nth

    return [
        (numbered_bowls[first][1], [numbered_bowls[first], *(numbered_bowls[nth] for nth in rest)])
        for _, group in groupby(range(len(numbered_bowls)), key=line)
        for first, *rest in (list(group),)
    ]


def _bowl_group_view(numbered_bowls: Sequence[NumberedBowls], coffee: Coffee) -> dict[str, Any]:
    bowls = [number for bowl_group in numbered_bowls for number in bowl_group.bowls]
    return {"bowls": bowls, "coffee": coffee.name, "is_control": coffee.is_control}


def bowl_numbers_view(
    lab: Lab,
    table_id: str,
    *,
    typed: Mapping[str, str] | None = None,
    problems: tuple[Problem, ...] = (),
) -> dict[str, Any]:
    """Return what the form shows: nothing read, what was read last, or what was typed.

    Raises:  NotNow before the calls, or at a table whose bowls have no numbers.
    """
    table, state = look_at(lab, table_id)
    if not table.is_numbered:
        raise NotNow("The bowls of this table have no numbers.", hint="Go back to the table.")
    demand(state, "bowls read", hint=AFTER_CALLS)
    read = last_reading(lab, table)
    typed = typed if typed is not None else _as_typed(read or ())
    names = [f"{field}:{place.id}" for place in table.blind for field in FIELDS]
    return {
        "table": table,
        "is_row": any(place.cups > 1 for place in table.blind),
        "is_late": state.flight != FlightState.CALLED,
        "was_read": read is not None,
        "typed": {name: typed.get(name, "") for name in (*names, "reason")},
        "problems": problems,
    }


def _as_typed(readings: Sequence[BowlReading]) -> dict[str, str]:
    typed = {}
    for each in readings:
        typed[f"number:{each.place_id}"] = "" if each.number is None else str(each.number)
        typed[f"check:{each.place_id}"] = "" if each.check is None else str(each.check)
        typed[f"mixed:{each.place_id}"] = "yes" if each.is_mixed else ""
    return typed


def read_readings(
    table: Table, typed: Mapping[str, str]
) -> tuple[tuple[BowlReading, ...], tuple[Problem, ...]]:
    """Read the form: what was read at each place, and every field that is no number."""
    readings, problems = [], []
    for place in table.blind:
        read = {}
        for field in ("number", "check"):
            text = typed.get(f"{field}:{place.id}", "").strip()
            if text and not NUMBER.fullmatch(text):
                problems.append(_no_number(place.code, text))
            read[field] = int(text) if NUMBER.fullmatch(text) else None
        readings.append(
            BowlReading(
                place_id=place.id,
                number=read["number"],
                check=read["check"],
                is_mixed=bool(typed.get(f"mixed:{place.id}")),
            )
        )
    return tuple(readings), tuple(problems)


def _no_number(code: str, text: str) -> Problem:
    return Problem(
        where=f"Place {code}",
        rule="a number as it stands under the bowl",
        found=told(text),
        remedy="Type its digits, or leave it empty when it cannot be read.",
    )


def _bowl_numbers(lab: Lab, table_id: str, typed: Mapping[str, str]) -> Response:
    table, _ = look_at(lab, table_id)
    readings, problems = read_readings(table, typed)

    def read() -> str:
        refuse("The numbers", problems)
        read_bowls(lab, table, readings, reason=typed.get("reason", ""))
        return f"/tables/{table_id}"

    return answer_form(
        read,
        "host/bowl_numbers.html",
        lambda found: bowl_numbers_view(lab, table_id, typed=typed, problems=found),
    )
