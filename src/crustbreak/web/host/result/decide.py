"""The verdict and its memo, as addresses of the host's app."""

from typing import Annotated, Any

from fastapi import FastAPI, Query, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from crustbreak.core.errors import Problem
from crustbreak.exchange.name_lists import file_name
from crustbreak.ports.lab import Lab
from crustbreak.reports.render.html import as_html, paper_policy
from crustbreak.reports.render.pdf import as_pdf
from crustbreak.services.results.decide import decide, memo_of
from crustbreak.services.tables.actions import look_at
from crustbreak.services.tables.views import view_table
from crustbreak.web.host.plan.forms import blank_verdict, read_form
from crustbreak.web.host.table.page import deciding_view
from crustbreak.web.http.pages import answer_form


def add_deciding(app: FastAPI, lab: Lab) -> None:
    """Add the form of the verdict, and the memo as a page and as PDF."""

    @app.post("/tables/{table_id}/verdict")
    async def verdict(table_id: str, request: Request) -> Response:
        typed = await read_form(request)
        return await run_in_threadpool(_decide, lab, table_id, typed)

    @app.get("/tables/{table_id}/memo", response_class=HTMLResponse)
    def memo(table_id: str, verdict: Annotated[int, Query(ge=0)] = 0) -> HTMLResponse:
        at, _ = look_at(lab, table_id)
        page = as_html(memo_of(lab, at, nth=verdict))
        return HTMLResponse(page, headers={"Content-Security-Policy": paper_policy()})

    @app.get("/tables/{table_id}/memo.pdf", response_class=Response)
    def memo_as_pdf(table_id: str, verdict: Annotated[int, Query(ge=0)] = 0) -> Response:
        at, _ = look_at(lab, table_id)
        paper = memo_of(lab, at, nth=verdict)
        name = file_name(f"{paper.kind} {paper.about} {paper.at[:10]}", "pdf")
        return Response(
            as_pdf(paper),
            media_type="application/pdf",
            headers={"Content-Disposition": f'inline; filename="{name}"'},
        )


def _decide(lab: Lab, table_id: str, typed: dict[str, str]) -> Response:
    view = view_table(lab, table_id)
    words = {
        name.removeprefix("word:"): text for name, text in typed.items() if name.startswith("word:")
    }
    said = {name: typed.get(name, "") for name in ("reason", "decided_by", "next_step")}

    def keep() -> str:
        decide(lab, view.table, words, **said)
        return f"/tables/{table_id}"

    def again(found: tuple[Problem, ...]) -> dict[str, Any]:
        form = blank_verdict(typed=typed, words=words, problems=found)
        return deciding_view(lab, view, form)

    return answer_form(keep, "host/decide.html", again)
