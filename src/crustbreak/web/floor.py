"""The floor: what phones may reach. No coffee's name crosses here before the uncovering."""

from typing import Annotated, Any

from fastapi import Depends, FastAPI, Header, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse, JSONResponse
from fastapi.staticfiles import StaticFiles
from pydantic import BaseModel, Field
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware

from crustbreak import __version__
from crustbreak.domain.sheets.definition import Line, Sheet
from crustbreak.exchange.entries import entry_data
from crustbreak.footing.errors import CrustbreakError, NotThere, NotYours
from crustbreak.footing.units import utc_text
from crustbreak.ports.lab import Lab
from crustbreak.services.joining import Seated, read_invitation, recognise, take_seat
from crustbreak.services.taking import take_entries
from crustbreak.services.uncovered import view_uncovered
from crustbreak.services.viewing import SeatSide, view_seat
from crustbreak.web.headers import Discreet
from crustbreak.web.pages import STATIC, error_data, fill

BATCH = 100
BEARER = "Bearer "


class Invited(BaseModel):
    """What a device shows to join."""

    token: str = Field(max_length=200)


class SeatWish(Invited):
    """What a device says to take a seat: the secret it made, 32 hex digits."""

    secret: str = Field(pattern="^[0-9a-f]{32}$")


class Batch(BaseModel):
    """Entries as sent; each is checked by itself, so that a bad one holds up no other."""

    entries: list[Any] = Field(max_length=BATCH)


def seat_of(request: Request, authorization: Annotated[str, Header()] = "") -> Seated:
    """Give the seat of the phone that asks, by the secret it was given when it joined."""
    if not authorization.startswith(BEARER):
        raise NotYours("This phone has no seat.", hint="Scan the code on the laptop.")
    return recognise(request.app.state.lab, authorization.removeprefix(BEARER))


AtSeat = Annotated[Seated, Depends(seat_of)]


def floor_app(lab: Lab) -> FastAPI:
    """Build the app for the phones."""
    app = FastAPI(title="Crustbreak floor", version=__version__, openapi_url=None)
    app.state.lab = lab
    app.add_middleware(Discreet)
    # The phone's page is some thirty small files, over a Wi-Fi that is often bad.
    app.add_middleware(GZipMiddleware, minimum_size=500)
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    app.add_exception_handler(CrustbreakError, _say)
    app.add_exception_handler(RequestValidationError, _say_shape)
    app.add_exception_handler(HTTPException, _say_http)

    @app.get("/", response_class=HTMLResponse)
    def page() -> HTMLResponse:
        return HTMLResponse(fill("phone.html", {"version": __version__}))

    @app.post("/join")
    def join(invited: Invited) -> dict[str, Any]:
        invitation = read_invitation(lab, invited.token)
        return {
            "table": invitation.table.id,
            "asks": invitation.asks,
            "seats": [
                {"id": seat.id, "taster": seat.taster, "taken": seat.id in invitation.taken}
                for seat in invitation.table.seats
            ],
        }

    @app.post("/seats/{seat_id}")
    def sit(seat_id: str, wish: SeatWish) -> dict[str, Any]:
        return _seat_data(take_seat(lab, wish.token, seat_id, wish.secret))

    @app.get("/sheet")
    def sheet(at: AtSeat) -> dict[str, Any]:
        question = lab.kit(at.table.question).question
        side = view_seat(lab, at)
        return {
            **_seat_data(at),
            "asks": question.asks,
            "sheet": _sheet_data(lab.sheet(at.table.sheet)),
            "places": [
                {"id": place.id, "code": place.code, "cups": place.cups}
                for place in at.table.places
            ],
            "verdicts": question.verdicts,
            "subjects": side.subjects,
            "entries": [
                {**entry_data(entry), "word": "kept late" if entry.id in side.late else "kept"}
                for entry in side.entries
            ],
            "state": _state_data(side),
        }

    @app.get("/state")
    def state(at: AtSeat) -> dict[str, Any]:
        return _state_data(view_seat(lab, at))

    @app.post("/entries")
    def entries(at: AtSeat, batch: Batch) -> dict[str, Any]:
        answers = take_entries(lab, at, batch.entries)
        return {
            "answers": [
                {
                    "id": answer.entry_id,
                    "word": answer.word,
                    "rule": answer.rule,
                    "remedy": answer.remedy,
                }
                for answer in answers
            ]
        }

    @app.get("/uncovered")
    def uncovered(at: AtSeat) -> dict[str, Any]:
        seen = view_uncovered(lab, at)
        return {
            "occasion": seen.occasion,
            "how_sure": seen.how_sure,
            "coffees": [
                {
                    "code": place.code,
                    "coffee": place.coffee,
                    "own_total": place.own_total,
                    "own_missing": place.own_missing,
                    "own_call": place.own_call,
                    "others": [
                        {"taster": taster, "total": total} for taster, total in place.others
                    ],
                }
                for place in seen.places
            ],
            "verdicts": seen.verdicts or None,
        }

    return app


def _say(_request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, CrustbreakError)
    return JSONResponse({"error": error_data(error)}, status_code=error.status)


def _say_http(_request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, HTTPException)
    said = NotThere("There is nothing at this address.", hint="Scan the code on the laptop.")
    return JSONResponse({"error": error_data(said)}, status_code=error.status_code)


def _say_shape(_request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, RequestValidationError)
    faults = [
        {
            "where": ".".join(str(step) for step in fault["loc"]),
            "rule": fault["msg"],
            "found": fault["type"],
            "remedy": "Reload the page.",
        }
        for fault in error.errors()
    ]
    message = {"message": "The lab cannot read this.", "hint": "Reload the page."}
    return JSONResponse({"error": {**message, "problems": faults}}, status_code=422)


def _seat_data(at: Seated) -> dict[str, Any]:
    seat = {"id": at.seat.id, "taster": at.seat.taster}
    return {"table": at.table.id, "seat": seat, "grip": at.grip}


def _sheet_data(sheet: Sheet) -> dict[str, Any]:
    return {
        "ref": sheet.ref,
        "title": sheet.title,
        "rounds": [{"id": each.id, "title": each.title, "say": each.say} for each in sheet.rounds],
        "lines": [_line_data(line) for line in sheet.lines],
    }


def _line_data(line: Line) -> dict[str, Any]:
    # What a word is worth stays in the lab: the phone shows no total and can make none.
    return {
        "id": line.id,
        "title": line.title,
        "kind": line.kind,
        "round": line.round,
        "least": line.least,
        "most": line.most,
        "step": line.step,
        "anchors": sorted(line.anchors.items()),
        "options": [{"id": option.id, "said": option.said} for option in line.options],
        "all_alike": line.all_alike,
    }


def _state_data(side: SeatSide) -> dict[str, Any]:
    cups: dict[str, list[str]] = {}
    for (place, _), state in zip(side.seated.table.cups, side.cups, strict=True):
        cups.setdefault(place.id, []).append(state)
    poured_at = side.state.poured_at
    return {
        "flight": side.state.flight,
        "now": utc_text(side.now),
        "since_pour_s": (side.now - poured_at).total_seconds() if poured_at else None,
        "cups": cups,
        "seat": side.view.state,
        "called": side.view.called,
    }
