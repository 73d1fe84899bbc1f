"""The page on which a lab writes down how it makes its cups."""

from collections.abc import Mapping
from typing import Any

from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from crustbreak.core.errors import Problem
from crustbreak.domain.brewing.protocols import KINDS, Protocol
from crustbreak.domain.planning.protocol_input import FIGURES, OWN, ProtocolDraft
from crustbreak.ports.lab import Lab
from crustbreak.services.lab.protocols import add_protocol, every_protocol, offered_protocols
from crustbreak.web.host.plan.forms import read_form
from crustbreak.web.http.numbers import read_number
from crustbreak.web.http.pages import answer_form, fill

ASKED = ("of", "title", "bowl", *(name for name, _, _ in FIGURES))


def add_protocols_page(app: FastAPI, lab: Lab) -> None:
    """Add the page, and the form that it sends."""

    @app.get("/house/protocols", response_class=HTMLResponse)
    def protocols(kept: str = "", of: str = "") -> HTMLResponse:
        return HTMLResponse(fill("host/protocols.html", protocols_view(lab, kept=kept, of=of)))

    @app.post("/house/protocols")
    async def add(request: Request) -> Response:
        typed = await read_form(request)
        return await run_in_threadpool(_add, lab, typed)


def _add(lab: Lab, typed: Mapping[str, str]) -> Response:
    return answer_form(
        lambda: f"/house/protocols?kept={add_protocol(lab, read_protocol_form(typed)).ref}",
        "host/protocols.html",
        lambda found: protocols_view(lab, typed=typed, problems=found),
    )


def read_protocol_form(typed: Mapping[str, str]) -> ProtocolDraft:
    """Read the form; what cannot be read is None and found by the check."""
    return ProtocolDraft(
        of=typed.get("of", ""),
        title=typed.get("title", "").strip(),
        figures={name: read_number(typed.get(name, "")) for name, _, _ in FIGURES},
        bowl=typed.get("bowl", ""),
    )


def protocols_view(
    lab: Lab,
    *,
    typed: Mapping[str, str] | None = None,
    problems: tuple[Problem, ...] = (),
    kept: str = "",
    of: str = "",
) -> dict[str, Any]:
    """Return what the page shows: the protocols there are, and the form as it was typed."""
    every, now = every_protocol(lab), offered_protocols(lab)
    if typed is None:
        typed = _typed(next((each for each in now if each.id == of and _is_own(each)), None))
    return {
        "lab": lab,
        "figures": FIGURES,
        "bowls": KINDS,
        "changed": next((each for each in now if each.id == typed.get("of")), None),
        "protocols": [
            {
                "id": each.id,
                "title": each.title,
                "own": _is_own(each),
                "said": protocol_text(each),
                "earlier": [
                    f"Version {older.version}: {older.title}; {protocol_text(older)}"
                    for older in every.values()
                    if older.id == each.id and older.version < each.version
                ],
            }
            for each in now
        ],
        "typed": {name: typed.get(name, "") for name in ASKED},
        "problems": problems,
        "kept": every.get(kept),
    }


def protocol_text(protocol: Protocol) -> str:
    """Return in words a protocol in a line."""
    return (
        f"{protocol.dose_g:g} g to {protocol.water_ml:g} ml at {protocol.pour_c:g} °C, "
        f"{protocol.steep_s} s to the break, {protocol.stirs} stirs"
        f"{f', in {protocol.bowl}' if protocol.bowl else ''}; version {protocol.version}, "
        f"{protocol.source}"
    )


def _is_own(protocol: Protocol) -> bool:
    return protocol.id.startswith(OWN)


def _typed(changed: Protocol | None) -> dict[str, str]:
    if changed is None:
        return {}
    figures = {name: f"{getattr(changed, name):g}" for name, _, _ in FIGURES}
    return {"of": changed.id, "title": changed.title, "bowl": changed.bowl, **figures}
