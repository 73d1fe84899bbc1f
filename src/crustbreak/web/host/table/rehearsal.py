"""A planned table played through, the clock sped up: its page, and what the page plays by."""

from typing import Any

from fastapi import FastAPI
from fastapi.responses import HTMLResponse

from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.state import TableState, table_state
from crustbreak.ports.lab import Lab
from crustbreak.services.tables.actions import look_at
from crustbreak.web.host.table.page import title_of
from crustbreak.web.http.pages import fill
from crustbreak.web.phone.bowl_payloads import run_data
from crustbreak.web.phone.payloads import open_data, places_data


def rehearsal_plan(lab: Lab, table: Table) -> dict[str, Any]:
    """Return what a rehearsal plays by: codes, course and rounds, and no coffee's name."""
    # As planned, whatever has happened at the table since.
    untouched: TableState = table_state(table, (), (), subjects=(None,))
    return {
        "table": table.id,
        "places": places_data(table.places),
        "open": open_data(table),
        "recipe": {"pace_s": table.recipe.pace_s, "steep_s": table.recipe.steep_s},
        "run": run_data(table, untouched, lab.sheet(table.sheet)),
    }


def add_rehearsal(app: FastAPI, lab: Lab) -> None:
    """Let the host play a table through; nothing is written anywhere."""

    @app.get("/tables/{table_id}/rehearsal", response_class=HTMLResponse)
    def rehearsal(table_id: str) -> HTMLResponse:
        table, _ = look_at(lab, table_id)
        page = {
            "table": table,
            "title": title_of(table),
            "asks": lab.plugin(table.question).question.asks,
            "plan": rehearsal_plan(lab, table),
        }
        return HTMLResponse(fill("host/rehearsal.html", page))
