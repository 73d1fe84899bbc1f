"""The page on which a lab says once what holds for all its tables."""

from collections.abc import Mapping
from itertools import groupby
from operator import attrgetter
from typing import Any

from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from crustbreak.core.errors import Problem
from crustbreak.domain.brewing.bowls import BOWLS
from crustbreak.domain.planning.lab_settings import SETTINGS, LabSettingsDraft
from crustbreak.exchange.name_lists import read_names
from crustbreak.ports.lab import Lab
from crustbreak.services.lab.protocols import offered_protocols
from crustbreak.services.lab.settings import change_lab_settings, lab_settings_of
from crustbreak.web.host.plan.forms import read_form
from crustbreak.web.http.numbers import read_number
from crustbreak.web.http.pages import answer_form, fill


def add_lab_settings_page(app: FastAPI, lab: Lab) -> None:
    """Add the page, and the form that it sends."""

    @app.get("/house", response_class=HTMLResponse)
    def lab_settings(kept: bool = False) -> HTMLResponse:
        return HTMLResponse(fill("host/lab_settings.html", lab_settings_view(lab, kept=kept)))

    @app.post("/house")
    async def settle(request: Request) -> Response:
        typed = await read_form(request)
        return await run_in_threadpool(_settle, lab, typed)


def _settle(lab: Lab, typed: Mapping[str, str]) -> Response:
    def change() -> str:
        change_lab_settings(lab, read_lab_settings(typed))
        return "/house?kept=true"

    return answer_form(
        change,
        "host/lab_settings.html",
        lambda found: lab_settings_view(lab, typed=typed, problems=found),
    )


def read_lab_settings(typed: Mapping[str, str]) -> LabSettingsDraft:
    """Read the form; what cannot be read is None and found by the check."""
    return LabSettingsDraft(
        anchors=read_names(typed.get("anchors", "")),
        currency=typed.get("currency", "").strip(),
        protocol=typed.get("protocol", ""),
        bowl=typed.get("bowl", ""),
        figures={each.name: read_number(typed.get(each.name, "")) for each in SETTINGS},
    )


def lab_settings_view(
    lab: Lab,
    *,
    typed: Mapping[str, str] | None = None,
    problems: tuple[Problem, ...] = (),
    kept: bool = False,
) -> dict[str, Any]:
    """Return what the page shows: the lab as it stands, or what was typed."""
    if typed is None:
        lab_settings = lab_settings_of(lab)
        typed = {
            "anchors": "\n".join(lab_settings.anchors),
            "currency": lab_settings.currency,
            "protocol": lab_settings.protocol,
            "bowl": lab_settings.bowl,
            **{each.name: f"{getattr(lab_settings, each.name):g}" for each in SETTINGS},
        }
    names = ("anchors", "currency", "protocol", "bowl", *(each.name for each in SETTINGS))
    return {
        "lab": lab,
        "groups": [(name, list(each)) for name, each in groupby(SETTINGS, attrgetter("group"))],
        "protocols": offered_protocols(lab, chosen=typed.get("protocol", "")),
        "bowls": [bowl.kind for bowl in BOWLS],
        "typed": {name: typed.get(name, "") for name in names},
        "problems": problems,
        "kept": kept,
    }
