"""The host's app, on the laptop alone: plan, run, uncover, decide."""

from collections.abc import Callable
from typing import Annotated

from fastapi import FastAPI, Form, Query, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException

from crustbreak import __version__
from crustbreak.config import Settings
from crustbreak.core.errors import CrustbreakError, NotThere, Problem, Unacceptable
from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.reports.render.html import evidence_style
from crustbreak.services.devices.host_login import Links
from crustbreak.services.planning.forecast import forecast_draft
from crustbreak.services.planning.plan import plan_once
from crustbreak.services.planning.screening import (
    check_screening,
    offer_of,
    one_table_of,
)
from crustbreak.services.results.duplicates import reveal_duplicate
from crustbreak.services.tables.actions import (
    abandon,
    all_skimmed,
    break_first,
    look_at,
    pour_first,
    table_set,
    uncover,
    undo_tap,
)
from crustbreak.services.tables.keys import open_key_to_set
from crustbreak.services.tables.views import list_today, view_live, view_table
from crustbreak.web.host.login import let_in
from crustbreak.web.host.middleware import guard_host
from crustbreak.web.host.plan.forms import blank_plan, blank_verdict, plan_asked, read_form
from crustbreak.web.host.plan.numbered_bowls import add_numbered_pages
from crustbreak.web.host.plan.orders import places_by_class
from crustbreak.web.host.plan.repeat import typed_like
from crustbreak.web.host.plan.screening import add_screening_pages
from crustbreak.web.host.result.arrival import add_arrival
from crustbreak.web.host.result.decide import add_deciding
from crustbreak.web.host.settings.lab import add_lab_settings_page
from crustbreak.web.host.settings.protocols import add_protocols_page
from crustbreak.web.host.settings.thermometer import add_bowl_page
from crustbreak.web.host.table.bowls import add_bowls, bowl_view
from crustbreak.web.host.table.page import deciding_view, live_view, table_view, today_view
from crustbreak.web.host.table.prints import add_prints
from crustbreak.web.host.table.rehearsal import add_rehearsal
from crustbreak.web.host.table.seating import add_seating
from crustbreak.web.http.pages import Piece, answer_form, error_data, fill, serve_static

TAPS: dict[str, Callable[[Lab, Table], None]] = {
    "set": table_set,
    "pour": pour_first,
    "break": break_first,
    "skim": all_skimmed,
    "undo-pour": lambda lab, table: undo_tap(lab, table, "poured"),
    "undo-break": lambda lab, table: undo_tap(lab, table, "broken"),
    "undo-skim": lambda lab, table: undo_tap(lab, table, "skimmed"),
    "show-double": reveal_duplicate,
    "uncover": uncover,
}


def host_app(lab: Lab, settings: Settings, links: Links) -> FastAPI:
    """Build the host's app.

    Args:  links: by which a browser enters.
    """
    app = FastAPI(title="Crustbreak host", version=__version__, openapi_url=None)
    guard_host(app, lab, settings)
    serve_static(app, "host")
    app.add_exception_handler(CrustbreakError, _lab_error)
    app.add_exception_handler(HTTPException, _http_error)
    app.add_exception_handler(RequestValidationError, _shape_error)

    # No page: it only leads on to one.
    @app.get("/enter/{link}", response_class=RedirectResponse)
    def enter(link: str) -> Response:
        return let_in(lab, links, link, settings.host_port)

    @app.get("/", response_class=HTMLResponse)
    def today(before: Annotated[str, Query(max_length=80)] = "") -> HTMLResponse:
        view = today_view(lab, list_today(lab, before=before))
        return HTMLResponse(fill("host/today.html", {**view, "is_older": bool(before)}))

    @app.get("/evidence.css")
    def style() -> Response:
        return Response(evidence_style(), media_type="text/css")

    @app.get("/plan/{question_id}", response_class=HTMLResponse)
    def ask(question_id: str, like: str = "", after: str = "") -> HTMLResponse:
        typed = typed_like(lab, like or after) if like or after else None
        if typed and after:
            typed["follows"] = after
        return HTMLResponse(fill("host/plan.html", blank_plan(lab, question_id, typed=typed)))

    @app.post("/plan/{question_id}")
    async def plan(question_id: str, request: Request) -> Response:
        typed = await read_form(request)
        return await _off_loop(_plan, lab, question_id, typed)

    @app.post("/plan/{question_id}/look", response_class=HTMLResponse)
    async def look(question_id: str, request: Request) -> Response:
        typed = await read_form(request)
        return await _off_loop(_preview, lab, question_id, typed)

    @app.get("/tables/{table_id}", response_class=HTMLResponse)
    def table(table_id: str, bowl: Annotated[str, Query(max_length=80)] = "") -> HTMLResponse:
        view = view_table(lab, table_id)
        if view.state.flight in ("uncovered", "decided"):
            return HTMLResponse(fill("host/decide.html", deciding_view(lab, view, blank_verdict())))
        page = {**table_view(lab, view, settings), "bowl": bowl_view(view, bowl)}
        return HTMLResponse(fill("host/table.html", page))

    @app.get("/tables/{table_id}/live", response_class=Piece)
    def live(table_id: str) -> Piece:
        return Piece(fill("host/live.html", live_view(lab, view_live(lab, table_id))))

    # A look at the key is written down, so it is asked for and not merely addressed.
    @app.post("/tables/{table_id}/card", response_class=HTMLResponse)
    def card(table_id: str) -> HTMLResponse:
        at, state = look_at(lab, table_id)
        names = open_key_to_set(lab, at)
        classes = places_by_class(lab, at, names)
        card = {"table": at, "names": names, "classes": classes, "flight": state.flight}
        return HTMLResponse(fill("host/key.html", card))

    @app.post("/tables/{table_id}/taps/{tap}")
    def act(table_id: str, tap: str) -> Response:
        if tap not in TAPS:
            raise NotThere(f"There is no tap '{tap}'.", hint="Go back to the table.")
        at, _ = look_at(lab, table_id)
        TAPS[tap](lab, at)
        return _to(f"/tables/{table_id}")

    @app.post("/tables/{table_id}/abandon")
    def give_up(table_id: str, reason: Annotated[str, Form()] = "") -> Response:
        at, _ = look_at(lab, table_id)
        abandon(lab, at, reason)
        return _to(f"/tables/{table_id}")

    _add_bowls(app, lab, settings)
    add_deciding(app, lab)
    add_seating(app, lab)
    add_prints(app, lab)
    add_rehearsal(app, lab)
    add_lab_settings_page(app, lab)
    add_numbered_pages(app, lab)
    add_bowl_page(app, lab)
    add_protocols_page(app, lab)
    add_screening_pages(app, lab)
    add_arrival(app, lab)

    return app


def _add_bowls(app: FastAPI, lab: Lab, settings: Settings) -> None:
    def again(
        table_id: str, chosen: str, typed: tuple[str, str], problems: tuple[Problem, ...]
    ) -> HTMLResponse:
        view = view_table(lab, table_id)
        bowl = bowl_view(view, chosen, typed=typed, problems=problems)
        page = {**table_view(lab, view, settings), "bowl": bowl}
        return HTMLResponse(fill("host/table.html", page), status_code=Unacceptable.status)

    add_bowls(app, lab, again)


async def _off_loop(work: Callable[..., Response], *given: object) -> Response:
    # Writing waits for the disk; the loop has streams and other pages to serve meanwhile.
    return await run_in_threadpool(work, *given)


def _plan(lab: Lab, question_id: str, typed: dict[str, str]) -> Response:
    if offer_of(lab, question_id, plan_asked(lab, question_id, typed)):
        # More than one table takes: nothing is wrong with that, and it is offered in two stages.
        problems = check_screening(lab, question_id, plan_asked(lab, question_id, typed))
        page = blank_plan(lab, question_id, typed=typed, problems=problems)
        return HTMLResponse(fill("host/plan.html", page), status_code=Unacceptable.status)

    def plan() -> str:
        draft = plan_asked(lab, question_id, typed)
        return f"/tables/{plan_once(lab, question_id, draft, typed.get('once', '')).id}"

    return answer_form(
        plan,
        "host/plan.html",
        lambda found: blank_plan(lab, question_id, typed=typed, problems=found),
    )


def _preview(lab: Lab, question_id: str, typed: dict[str, str]) -> Response:
    try:
        forecast = forecast_draft(
            lab, question_id, one_table_of(lab, question_id, plan_asked(lab, question_id, typed))
        )
    except Unacceptable as error:
        # More than anybody can pour, for one: what was typed stays where it is.
        page = blank_plan(lab, question_id, typed=typed, problems=error.problems)
        return HTMLResponse(fill("host/plan.html", page), status_code=error.status)
    page = blank_plan(lab, question_id, typed=typed, forecast=forecast)
    return HTMLResponse(fill("host/plan.html", {**page, "looked": True}))


def _to(path: str) -> RedirectResponse:
    return RedirectResponse(path, status_code=303)


def _lab_error(_request: Request, error: Exception) -> HTMLResponse:
    assert isinstance(error, CrustbreakError)
    return HTMLResponse(fill("host/error.html", error_data(error)), status_code=error.status)


def _http_error(_request: Request, error: Exception) -> HTMLResponse:
    assert isinstance(error, HTTPException)
    what = "page" if error.status_code == 404 else "act on this page"
    said = NotThere(f"There is no such {what}.", hint="Start from today's page.")
    return HTMLResponse(fill("host/error.html", error_data(said)), status_code=error.status_code)


def _shape_error(_request: Request, _error: Exception) -> HTMLResponse:
    said = Unacceptable("The lab cannot read this form.", hint="Go back and send it again.")
    return HTMLResponse(fill("host/error.html", error_data(said)), status_code=said.status)
