"""The phone app: what phones may reach. No coffee's name crosses here before the uncovering."""

import asyncio
import json
from collections.abc import Callable, Sequence
from typing import Annotated, Any

from fastapi import Depends, FastAPI, Header, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse, JSONResponse, StreamingResponse
from pydantic import BaseModel, Field, ValidationError
from starlette.exceptions import HTTPException

from crustbreak import __version__
from crustbreak.config import Settings
from crustbreak.core.errors import CrustbreakError, NotThere, NotYours
from crustbreak.ports.lab import Lab
from crustbreak.ports.live_state import Check
from crustbreak.services.devices.codes import find_by_code
from crustbreak.services.devices.helper import receive_taps, view_help
from crustbreak.services.devices.join import (
    Helping,
    Seated,
    become_helper,
    find_device,
    read_invitation,
    recall_device,
    recognise,
    take_seat,
)
from crustbreak.services.devices.seat_view import view_seat
from crustbreak.services.devices.submissions import receive_later
from crustbreak.services.results.taster_view import view_uncovered
from crustbreak.web.http.pages import error_data, fill, serve_static
from crustbreak.web.http.sse import Streams
from crustbreak.web.phone.middleware import guard_phone_app
from crustbreak.web.phone.payloads import (
    answer_data,
    help_data,
    help_state_data,
    seat_data,
    sheet_data,
    state_data,
    uncovered_data,
)
from crustbreak.web.phone.responses import (
    CheckResponse,
    CodeResponse,
    EntriesResponse,
    HelperResponse,
    HelpResponse,
    HelpStateResponse,
    InvitationResponse,
    SeatResponse,
    SheetResponse,
    StateResponse,
    UncoveredResponse,
)

# What an answer leaves out stays out.
AS_GIVEN: dict[str, Any] = {"response_model_exclude_unset": True}
BATCH = 100
BEARER = "Bearer "


class Typed(BaseModel):
    """A code as somebody typed it."""

    code: str = Field(max_length=40)


class Invited(BaseModel):
    """What a device shows to join."""

    token: str = Field(max_length=200)


class Wish(Invited):
    """What a device says to take a seat or to help: the secret it made, 32 hex digits."""

    secret: str = Field(pattern="^[0-9a-f]{32}$")


# A phone's clock may be years off; more is no clock.
MOST_OFFSET_MS = 4e12
OffsetMs = Annotated[float, Field(ge=-MOST_OFFSET_MS, le=MOST_OFFSET_MS, allow_inf_nan=False)]


class Batch(BaseModel):
    """Entries as sent; each is checked by itself, so that a bad one holds up no other.

    offset_ms:  the lab's clock minus the device's, as the device takes it to be.
    """

    entries: list[Any] = Field(max_length=BATCH)
    offset_ms: OffsetMs | None = None


class Found(BaseModel):
    """What a device found when it tried itself out."""

    keeps: bool
    streams: bool
    round_trip_ms: float = Field(ge=0, le=600_000, allow_inf_nan=False)
    offset_ms: OffsetMs


BATCH_BODY = {
    "required": True,
    "content": {"application/json": {"schema": Batch.model_json_schema()}},
}
NO_JSON = {"loc": ("body",), "msg": "it is JSON, and says so", "type": "another kind of text"}


# What only looks at what is there runs where it is asked, and what asks the records in a thread:
# each change of threads costs as much as a mark.
async def secret_in(authorization: Annotated[str, Header()] = "") -> str:
    """Return the secret that a request shows; NotYours when it shows none."""
    return secret_of(authorization)


def secret_of(authorization: str) -> str:
    """Return the secret that the device made when it joined; NotYours when it says none."""
    if not authorization.startswith(BEARER):
        raise NotYours("This phone has no seat.", hint="Scan the code on the laptop.")
    return authorization.removeprefix(BEARER)


Secret = Annotated[str, Depends(secret_in)]


def device_of(request: Request, secret: Secret) -> Seated | Helping:
    """Return who asks, by the secret of the device."""
    lab: Lab = request.app.state.lab
    at = recognise(lab, secret)
    lab.presence.hear(at.device, lab.clock.now())
    return at


At = Annotated[Seated | Helping, Depends(device_of)]


async def seat_of(at: At) -> Seated:
    """Return the seat of the device that asks; NotYours for one that only helps."""
    if isinstance(at, Helping):
        raise NotYours("This device helps and has no seat.", hint="Scan the code on the laptop.")
    return at


async def help_of(at: At) -> Helping:
    """Return the helper that asks; NotYours for a taster's device."""
    if isinstance(at, Seated):
        raise NotYours("This phone has a seat and taps no pours.", hint="Go on with the sheet.")
    return at


AtSeat = Annotated[Seated, Depends(seat_of)]
AtHelp = Annotated[Helping, Depends(help_of)]


def phone_app(lab: Lab, settings: Settings) -> FastAPI:
    """Build the app for the phones."""
    addresses = settings.addresses
    app = FastAPI(title="Crustbreak phones", version=__version__, openapi_url=None)
    app.state.lab = lab
    guard_phone_app(app, lab, settings)
    serve_static(app, "phone")
    app.add_exception_handler(CrustbreakError, _lab_error)
    app.add_exception_handler(RequestValidationError, _shape_error)
    app.add_exception_handler(HTTPException, _http_error)

    @app.get("/", response_class=HTMLResponse)
    def page() -> HTMLResponse:
        return HTMLResponse(fill("phone/phone.html", {"version": __version__}))

    _add_joining(app, lab)
    _add_seat(app, lab, addresses)
    _add_everyone(app, lab)

    @app.get("/help", response_model=HelpResponse, **AS_GIVEN)
    def help_page(at: AtHelp) -> dict[str, Any]:
        return {**help_data(lab, view_help(lab, at)), "addresses": list(addresses())}

    return app


def _add_joining(app: FastAPI, lab: Lab) -> None:
    @app.post("/code", response_model=CodeResponse, **AS_GIVEN)
    def code(typed: Typed) -> dict[str, Any]:
        return {"token": find_by_code(lab, typed.code)}

    @app.post("/join", response_model=InvitationResponse, **AS_GIVEN)
    def join(invited: Invited) -> dict[str, Any]:
        invitation = read_invitation(lab, invited.token)
        return {
            "table": invitation.table.id,
            "asks": invitation.asks,
            "way": invitation.way,
            "seats": [
                {"id": seat.id, "taster": seat.taster, "taken": seat.id in invitation.taken}
                for seat in invitation.seats
            ],
        }

    @app.post("/seats/{seat_id}", response_model=SeatResponse, **AS_GIVEN)
    def sit(seat_id: str, wish: Wish) -> dict[str, Any]:
        return seat_data(take_seat(lab, wish.token, seat_id, wish.secret))

    @app.post("/helper", response_model=HelperResponse, **AS_GIVEN)
    def become(wish: Wish) -> dict[str, Any]:
        at = become_helper(lab, wish.token, wish.secret)
        return {"table": at.table.id, "helper": True, "grip": at.grip}


def _add_seat(app: FastAPI, lab: Lab, addresses: Callable[[], Sequence[str]]) -> None:
    @app.get("/sheet", response_model=SheetResponse, **AS_GIVEN)
    def sheet(at: AtSeat) -> dict[str, Any]:
        return {**sheet_data(lab, view_seat(lab, at)), "addresses": list(addresses())}

    @app.get("/uncovered", response_model=UncoveredResponse, **AS_GIVEN)
    def uncovered(at: AtSeat) -> dict[str, Any]:
        return uncovered_data(view_uncovered(lab, at))


def _add_everyone(app: FastAPI, lab: Lab) -> None:
    streams = Streams(lab.notifier)

    @app.get("/state", response_model=StateResponse | HelpStateResponse, **AS_GIVEN)
    def state(at: At) -> dict[str, Any]:
        if isinstance(at, Helping):
            return help_state_data(lab, view_help(lab, at))
        return state_data(view_seat(lab, at))

    # Read by hand: what a framework does for a handler costs as much as keeping a mark.
    @app.post("/entries", openapi_extra={"requestBody": BATCH_BODY}, response_model=EntriesResponse)
    async def entries(request: Request) -> JSONResponse:
        at = await _sender(lab, request)
        batch = _batch_in(await request.body(), request.headers.get("content-type", ""))
        if isinstance(at, Helping):
            answers = await run_in_threadpool(
                receive_taps, lab, at, batch.entries, offset_ms=batch.offset_ms
            )
        else:
            # A thread for each would cost more than the mark: the writer's own is enough.
            kept = receive_later(lab, at, batch.entries, offset_ms=batch.offset_ms)
            answers = await asyncio.wrap_future(kept)
        lab.presence.hear(at.device, lab.clock.now(), offset_ms=batch.offset_ms)
        return JSONResponse({"answers": [answer_data(answer) for answer in answers]})

    @app.post("/check", response_model=CheckResponse, **AS_GIVEN)
    def check(at: At, found: Found) -> dict[str, Any]:
        lab.presence.note(at.device, Check(**found.model_dump()))
        lab.presence.hear(at.device, lab.clock.now(), offset_ms=found.offset_ms)
        lab.notifier.ring(at.table.id)
        return {"heard": True}

    @app.get("/stream")
    async def stream(at: At) -> StreamingResponse:
        return streams.open(at.device, at.table.id)


async def _sender(lab: Lab, request: Request) -> Seated | Helping:
    """Return who sends something, also when it was refused: that is looked at where it is kept."""
    secret = secret_of(request.headers.get("authorization", ""))
    at = recall_device(lab, secret)
    return await run_in_threadpool(find_device, lab, secret) if at is None else at


def _batch_in(body: bytes, content_type: str) -> Batch:
    if content_type.partition(";")[0].strip().lower() != "application/json":
        raise RequestValidationError([NO_JSON])
    try:
        # The library's own reader: half a sign, as phones leave it, is no fault of the batch.
        return Batch.model_validate(json.loads(body))
    except ValidationError as error:
        faults = [{**each, "loc": ("body", *each["loc"])} for each in error.errors()]
        raise RequestValidationError(faults) from error
    except (ValueError, RecursionError) as error:
        raise RequestValidationError([NO_JSON]) from error


def _lab_error(_request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, CrustbreakError)
    return JSONResponse({"error": error_data(error)}, status_code=error.status)


def _http_error(_request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, HTTPException)
    said = NotThere("There is nothing at this address.", hint="Scan the code on the laptop.")
    return JSONResponse({"error": error_data(said)}, status_code=error.status_code)


def _shape_error(_request: Request, error: Exception) -> JSONResponse:
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
