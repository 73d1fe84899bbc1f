"""The host's pages beside an arrival: physicals and old score, the claim clock, the claim pack."""

from collections.abc import Mapping
from typing import Any

from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup
from starlette.concurrency import run_in_threadpool

from crustbreak.core.errors import Problem
from crustbreak.domain.grading.physicals import MEASURES, PhysicalsDraft
from crustbreak.domain.records.claims import Claim
from crustbreak.domain.records.physicals import Measurement, Physicals
from crustbreak.domain.records.tables import Table
from crustbreak.domain.trade.claims import EVIDENCE, OWN, SIDE_BY_SIDE, ClaimDraft
from crustbreak.domain.trade.contracts import DISCHARGE, RUNS_FROM
from crustbreak.exchange.name_lists import file_name
from crustbreak.ports.documents import PHYSICALS
from crustbreak.ports.lab import Lab
from crustbreak.reports.render.html import as_html, as_piece, paper_policy
from crustbreak.reports.render.pdf import as_pdf
from crustbreak.reports.sections.claim_pack import PREVAILS, clock_text, counted_text
from crustbreak.reports.sections.physicals import limits_text, old_score_text, physicals_blocks
from crustbreak.services.results.claims import claim_pack_of, keep_claim, pack_of
from crustbreak.services.results.physicals import (
    keep_physicals,
    other_checks_of,
    physicals_before,
    physicals_said,
    usual_score,
)
from crustbreak.services.tables.actions import look_at
from crustbreak.services.tables.planned import coffees_of
from crustbreak.web.host.plan.forms import read_form
from crustbreak.web.http.pages import answer_form, fill

PARTS = ("at_approval", "found", "least", "most")
OLD = ("score", "tasters", "tables", "usual")
CLAIM = ("discharged", "cleared", "contract", "own_days", "own_from", "clause", "by")


def add_arrival(app: FastAPI, lab: Lab) -> None:
    """Add both pages, what they send, and the pack as a page and as PDF."""

    @app.get("/tables/{table_id}/physicals", response_class=HTMLResponse)
    def physicals(table_id: str) -> HTMLResponse:
        at, _ = look_at(lab, table_id)
        return HTMLResponse(fill("host/physicals.html", physicals_view(lab, at)))

    @app.post("/tables/{table_id}/physicals")
    async def keep_measured(table_id: str, request: Request) -> Response:
        typed = await read_form(request)
        return await run_in_threadpool(_keep_physicals, lab, table_id, typed)

    @app.get("/tables/{table_id}/claim", response_class=HTMLResponse)
    def claim(table_id: str) -> HTMLResponse:
        at, _ = look_at(lab, table_id)
        return HTMLResponse(fill("host/claim.html", claim_view(lab, at)))

    @app.post("/tables/{table_id}/claim")
    async def keep_claimed(table_id: str, request: Request) -> Response:
        typed = await read_form(request)
        return await run_in_threadpool(_keep_claim, lab, table_id, typed)

    @app.get("/tables/{table_id}/claim-pack", response_class=HTMLResponse)
    def pack(table_id: str) -> HTMLResponse:
        at, _ = look_at(lab, table_id)
        page = as_html(claim_pack_of(lab, at))
        return HTMLResponse(page, headers={"Content-Security-Policy": paper_policy()})

    @app.get("/tables/{table_id}/claim-pack.pdf", response_class=Response)
    def pack_as_pdf(table_id: str) -> Response:
        at, _ = look_at(lab, table_id)
        paper = claim_pack_of(lab, at)
        name = file_name(f"{paper.kind} {paper.about} {paper.at[:10]}", "pdf")
        return Response(
            as_pdf(paper),
            media_type="application/pdf",
            headers={"Content-Disposition": f'inline; filename="{name}"'},
        )


def _keep_physicals(lab: Lab, table_id: str, typed: Mapping[str, str]) -> Response:
    at, _ = look_at(lab, table_id)

    def keep() -> str:
        keep_physicals(lab, at, read_physicals_form(typed))
        return f"/tables/{table_id}/physicals"

    return answer_form(
        keep,
        "host/physicals.html",
        lambda found: physicals_view(lab, at, typed=typed, problems=found),
    )


def _keep_claim(lab: Lab, table_id: str, typed: Mapping[str, str]) -> Response:
    at, _ = look_at(lab, table_id)

    def keep() -> str:
        keep_claim(lab, at, read_claim_form(typed))
        return f"/tables/{table_id}/claim"

    return answer_form(
        keep, "host/claim.html", lambda found: claim_view(lab, at, typed=typed, problems=found)
    )


def read_physicals_form(typed: Mapping[str, str]) -> PhysicalsDraft:
    """Read the form; every figure stays the text that it is."""
    return PhysicalsDraft(
        readings={
            each.id: Measurement(
                measure=each.id,
                **{part: typed.get(f"{each.id}:{part}", "").strip() for part in PARTS},
            )
            for each in MEASURES
        },
        **{name: typed.get(name, "").strip() for name in OLD},
        by=typed.get("by", "").strip(),
    )


def read_claim_form(typed: Mapping[str, str]) -> ClaimDraft:
    """Read the form; a day stays the text that it is."""
    fields = {name: typed.get(name, "").strip() for name in CLAIM}
    return ClaimDraft(
        **{**fields, "own_from": fields["own_from"] or DISCHARGE},
        said={item.id: typed.get(f"said:{item.id}", "") for item in EVIDENCE},
    )


def physicals_view(
    lab: Lab,
    table: Table,
    *,
    typed: Mapping[str, str] | None = None,
    problems: tuple[Problem, ...] = (),
) -> dict[str, Any]:
    """Return the form as it was typed, else what is kept, else limits and approval from the record.

    Raises:  NotThere where the question has no such papers.
    """
    checks = other_checks_of(lab, table)
    mine = lab.repository.read(lambda records: records.document(PHYSICALS, table.id))
    said = lab.repository.read(lambda records: physicals_said(lab, records, table))
    before = None if mine else physicals_before(lab, table)
    if typed is None:
        typed = _physicals_typed(mine) if mine else _limits_typed(before)
    names = [f"{each.id}:{part}" for each in MEASURES for part in PARTS]
    usual = usual_score(lab, table)
    return {
        "table": table,
        "coffees": lab.repository.read(lambda records: coffees_of(lab, records, table.id)),
        "measures": MEASURES,
        "score_sheet": lab.sheet(checks.score_sheet).title,
        "typed": {name: typed.get(name, "") for name in (*names, *OLD, "by")},
        "problems": problems,
        "is_from_record": before is not None,
        "usual": None if usual is None else f"{usual:g}",
        "said": [each for each in (limits_text(said), old_score_text(said)) if each],
        "kept": Markup(as_piece(physicals_blocks(said))) if said else "",
    }


def _physicals_typed(kept: Physicals) -> dict[str, str]:
    typed = {
        f"{each.measure}:{part}": getattr(each, part) for each in kept.readings for part in PARTS
    }
    old = kept.old_score
    if old is not None:
        typed |= {"score": f"{old.score:g}", "tasters": str(old.tasters), "tables": str(old.tables)}
        typed["usual"] = "" if old.usual is None else f"{old.usual:g}"
    return {**typed, "by": kept.by}


def _limits_typed(before: Physicals | None) -> dict[str, str]:
    """Return limits and what was found at approval from an earlier table of one of the coffees.

    Nobody has measured this one yet, so that no name comes along.
    """
    if before is None:
        return {}
    kept = _physicals_typed(before)
    return {
        name: text for name, text in kept.items() if name != "by" and not name.endswith(":found")
    }


def claim_view(
    lab: Lab,
    table: Table,
    *,
    typed: Mapping[str, str] | None = None,
    problems: tuple[Problem, ...] = (),
) -> dict[str, Any]:
    """Return the clock, what is missing, and the form as it was typed or is kept.

    Raises:  NotThere where the question has no such papers.
    """
    pack = pack_of(lab, table)
    typed = typed if typed is not None else _claim_typed(pack.claim)
    names = (*CLAIM, *(f"said:{item.id}" for item in EVIDENCE))
    return {
        "table": table,
        "clock": clock_text(pack),
        "counted": counted_text(pack),
        "missing": pack.missing,
        "evidence": [item for item in EVIDENCE if item.id != SIDE_BY_SIDE],
        "contracts": lab.definitions.contracts().values(),
        "own": OWN,
        "runs_from": RUNS_FROM,
        "prevails": PREVAILS,
        "is_kept": pack.claim != Claim(),
        "typed": {name: typed.get(name, "") for name in names},
        "problems": problems,
    }


def _claim_typed(claim: Claim) -> dict[str, str]:
    days = {
        "discharged": claim.discharged.isoformat() if claim.discharged else "",
        "cleared": claim.cleared.isoformat() if claim.cleared else "",
        "own_days": str(claim.own_days or ""),
    }
    said = {f"said:{name}": text for name, text in claim.said.items()}
    rest = {name: getattr(claim, name) for name in ("contract", "own_from", "clause", "by")}
    return {**days, **rest, **said}
