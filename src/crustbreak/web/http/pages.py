"""Templates of the two apps, and how an error is said."""

from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from fastapi import FastAPI
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from fastapi.staticfiles import StaticFiles
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from crustbreak.core.errors import CrustbreakError, Problem, Unacceptable
from crustbreak.core.units import CAFFEINE_DAY_MG, CAFFEINE_ONCE_MG, TASTE_BELOW_C, clock, points

HERE = Path(__file__).parents[1]
STATIC = HERE / "static"
SHARED = "shared"


class Piece(HTMLResponse):
    """A part of a page, fetched by a page that is open; never shown by itself."""


def fill(template: str, values: Mapping[str, Any]) -> str:
    """Fill a page; every value is escaped, and one that is missing is an error."""
    return _environment().get_template(template).render(**values)


def serve_static(app: FastAPI, room: str) -> None:
    """Serve an app's own scripts and styles and the shared ones, and no other app's."""
    for folder in (room, SHARED):
        app.mount(f"/static/{folder}", StaticFiles(directory=STATIC / folder), name=folder)


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters.update(span=clock, points=points)
    environment.globals.update(
        taste_below_c=TASTE_BELOW_C,
        caffeine_day_mg=CAFFEINE_DAY_MG,
        caffeine_once_mg=CAFFEINE_ONCE_MG,
    )
    return environment


def answer_form(
    do: Callable[[], str], template: str, again: Callable[[tuple[Problem, ...]], Mapping[str, Any]]
) -> Response:
    """Do what a form asks and lead on; what cannot be done shows the form again, as typed.

    Args:  do: does it and returns the path to go on to. again: what the page shows with the
           problems.
    """
    try:
        return RedirectResponse(do(), status_code=303)
    except Unacceptable as error:
        return HTMLResponse(fill(template, again(error.problems)), status_code=error.status)


def error_data(error: CrustbreakError) -> dict[str, Any]:
    """Return an error in the one shape that every edge uses."""
    return {
        "message": error.message,
        "hint": error.hint,
        "problems": [
            {
                "where": problem.where,
                "rule": problem.rule,
                "found": problem.found,
                "remedy": problem.remedy,
            }
            for problem in error.problems
        ],
    }


def error_page(error: CrustbreakError) -> HTMLResponse:
    """Return in words an error as the host's page."""
    return HTMLResponse(fill("host/error.html", error_data(error)), status_code=error.status)


def error_json(error: CrustbreakError) -> JSONResponse:
    """Return in words an error in the phone app's one shape."""
    return JSONResponse({"error": error_data(error)}, status_code=error.status)
