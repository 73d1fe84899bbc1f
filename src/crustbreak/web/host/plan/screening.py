"""The pages of a screening: planning its flights, how all stand, and on to the second look."""

from typing import Annotated, Any

from fastapi import FastAPI, Query, Request
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup
from starlette.concurrency import run_in_threadpool

from crustbreak.analysis.screening import Ranking, Stood
from crustbreak.core.errors import Problem
from crustbreak.core.units import points
from crustbreak.domain.capabilities import TwoStages
from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.transitions import FlightState
from crustbreak.exchange.name_lists import write_offers
from crustbreak.ports.lab import Lab
from crustbreak.reports.render.html import as_piece
from crustbreak.reports.sections.screening import drop_of_best_text, held_text, ranking_blocks
from crustbreak.reports.text import format_hundredths, format_tenth, format_terms
from crustbreak.services.lab.settings import lab_settings_of
from crustbreak.services.planning.screening import (
    UNCOVERED,
    ScreeningView,
    decide_screening,
    plan_screening,
    view_screening,
)
from crustbreak.services.tables.planned import coffees_of_all
from crustbreak.web.host.plan.forms import blank_plan, plan_asked, read_form
from crustbreak.web.host.plan.repeat import typed_like
from crustbreak.web.http.pages import answer_form, fill

# How many will be bought, until somebody says; and the most a page speaks of.
USUAL_BEST, MOST_BEST = 3, 24
# Taken over unless somebody says otherwise: whoever has this chance, and so many at most.
TAKEN_FROM, MOST_TAKEN = 0.1, 6


def add_screening_pages(app: FastAPI, lab: Lab) -> None:
    """Add what belongs to a screening to the host's app."""

    @app.post("/plan/{question_id}/first-look")
    async def plan(question_id: str, request: Request) -> Response:
        typed = await read_form(request)
        return await run_in_threadpool(_plan, lab, question_id, typed)

    @app.get("/first-looks/{look_id}", response_class=HTMLResponse)
    def screening(
        look_id: str, best: Annotated[int, Query(ge=1, le=MOST_BEST)] = USUAL_BEST
    ) -> HTMLResponse:
        found = view_screening(lab, look_id, best=best)
        return HTMLResponse(fill("host/screening.html", screening_view(lab, found, best=best)))

    @app.get("/first-looks/{look_id}/second", response_class=HTMLResponse)
    def second(
        look_id: str, coffee: Annotated[list[str], Query(default_factory=list)]
    ) -> HTMLResponse:
        found = view_screening(lab, look_id, best=USUAL_BEST)
        typed = second_stage_form(lab, found, coffee)
        question = found.flights[0][0].question
        return HTMLResponse(fill("host/plan.html", blank_plan(lab, question, typed=typed)))

    @app.post("/first-looks/{look_id}/verdict")
    async def verdict(look_id: str, request: Request) -> Response:
        async with request.form() as form:
            taken = [each for each in form.getlist("coffee") if isinstance(each, str)]
        return await run_in_threadpool(_decide, lab, look_id, await read_form(request), taken)


def _decide(lab: Lab, look_id: str, typed: dict[str, str], taken: list[str]) -> Response:
    said = {"reason": typed.get("reason", ""), "decided_by": typed.get("decided_by", "")}

    def keep() -> str:
        decide_screening(lab, look_id, taken, **said)
        return f"/first-looks/{look_id}"

    def again(found: tuple[Problem, ...]) -> dict[str, Any]:
        view = view_screening(lab, look_id, best=USUAL_BEST)
        page = screening_view(lab, view, best=USUAL_BEST, taken=taken)
        return {**page, "typed": said, "problems": found}

    return answer_form(keep, "host/screening.html", again)


def _plan(lab: Lab, question_id: str, typed: dict[str, str]) -> Response:
    def plan() -> str:
        draft = plan_asked(lab, question_id, typed)
        return f"/first-looks/{plan_screening(lab, question_id, draft, typed.get('once', '')).id}"

    return answer_form(
        plan,
        "host/plan.html",
        lambda found: blank_plan(lab, question_id, typed=typed, problems=found),
    )


def screening_view(
    lab: Lab, screening: ScreeningView, *, best: int, taken: list[str] | None = None
) -> dict[str, Any]:
    """Return a screening's page: its flights, and how what is uncovered stands.

    Args:  taken: ids of what was ticked; without it, what is likely to be among the best.
    """
    ids = [table.id for table, _ in screening.flights]
    named = lab.repository.read(lambda records: coffees_of_all(lab, records, ids))
    nth_of = {coffee.id: nth for nth, each in enumerate(ids, start=1) for coffee in named[each]}
    return {
        "screening": screening,
        "uncovered": sum(flight in UNCOVERED for _, flight in screening.flights),
        "best": best,
        "most_best": MOST_BEST,
        "flights": [
            {"table": table, "nth": nth, "is": flight, "codes": len(table.places)}
            for nth, (table, flight) in enumerate(screening.flights, start=1)
        ],
        "rankings": [
            {"nth": nth, **_ranking(lab, ranking, nth_of, screening.flights[0][0], taken)}
            for nth, ranking in screening.rankings
        ],
        "waiting": sum(flight == FlightState.UNCOVERED for _, flight in screening.flights),
        "stages": lab.plugin(screening.flights[0][0].question).question.can(TwoStages),
        "typed": {"reason": "", "decided_by": ""},
        "problems": (),
    }


def _ranking(
    lab: Lab, ranking: Ranking, nth_of: dict[str, int], table: Table, ticked: list[str] | None
) -> dict[str, Any]:
    taken = _taken(ranking)
    likely = [each.coffee.id for each in ranking.coffees[:taken]]
    chosen = likely if ticked is None else ticked
    currency = lab_settings_of(lab).currency
    return {
        "rows": [
            {**_row(currency, each, nth_of), "is_taken": each.coffee.id in chosen, "rank": rank}
            for rank, each in enumerate(ranking.coffees, start=1)
        ],
        "picture": Markup(as_piece(ranking_blocks(ranking, cut_off=table.cut_off))),
        "drop": drop_of_best_text(ranking),
        "held": held_text(ranking, taken),
        "warnings": ranking.warnings,
        "best": ranking.best,
    }


def _taken(ranking: Ranking) -> int:
    likely = sum(each.best >= TAKEN_FROM for each in ranking.coffees)
    return max(min(likely, MOST_TAKEN), min(ranking.best, len(ranking.coffees)))


def _row(currency: str, each: Stood, nth_of: dict[str, int]) -> dict[str, Any]:
    coffee = each.coffee
    return {
        "id": coffee.id,
        "name": coffee.name,
        "flight": nth_of[coffee.id],
        "mean": format_tenth(each.total.mean),
        "span": f"{format_tenth(each.total.low)} to {format_tenth(each.total.high)}",
        "best": format_hundredths(each.best),
        "over": format_hundredths(each.over),
        "sheets": "none" if each.sheets is None else points(each.sheets),
        "offered": format_terms(coffee.price, coffee.kilos, currency),
    }


def second_stage_form(lab: Lab, screening: ScreeningView, chosen: list[str]) -> dict[str, str]:
    """Return the plan form of a second look: the same names are the same lots, five bowls each."""
    table = screening.flights[0][0]
    bowls = lab.plugin(table.question).question.layout.bowls
    taken = [
        each.coffee
        for _, ranking in screening.rankings
        for each in ranking.coffees
        if each.coffee.id in chosen
    ]
    return {
        **typed_like(lab, table.id),
        # Light ones first, whichever came out best.
        "coffees": write_offers(sorted(taken, key=lambda coffee: coffee.order_class)),
        "occasion": f"{screening.first.occasion}, second look",
        "bowls": str(bowls[0]) if bowls else "",
        "share": "",
    }
