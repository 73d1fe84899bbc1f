"""What the host does about seats, devices and the cut-off, as addresses of the host's app."""

from collections.abc import Callable
from typing import Annotated

from fastapi import FastAPI, Form
from fastapi.responses import RedirectResponse, Response, StreamingResponse

from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.services.devices.codes import give_pass
from crustbreak.services.tables.actions import look_at
from crustbreak.services.tables.cut_off import move_cut_off
from crustbreak.services.tables.seats import (
    admit_late,
    bring_back,
    leave_out,
    let_device_back,
    refuse_device,
)
from crustbreak.web.http.numbers import read_number
from crustbreak.web.http.sse import Streams

Reason = Annotated[str, Form()]


def add_seating(app: FastAPI, lab: Lab) -> None:
    """Add the acts about seats, and the stream that says when to look."""
    streams = Streams(lab.notifier)

    @app.get("/tables/{table_id}/stream")
    async def stream(table_id: str) -> StreamingResponse:
        return streams.open("host", table_id)

    @app.post("/tables/{table_id}/helper")
    def let_help(table_id: str) -> Response:
        return _do(lab, table_id, lambda at: give_pass(lab, at, None))

    @app.post("/tables/{table_id}/seats/{seat_id}/device")
    def hand_over(table_id: str, seat_id: str) -> Response:
        return _do(lab, table_id, lambda at: give_pass(lab, at, seat_id))

    @app.post("/tables/{table_id}/seats/{seat_id}/refuse/{grip}")
    def refuse(table_id: str, seat_id: str, grip: int) -> Response:
        return _do(lab, table_id, lambda at: refuse_device(lab, at, seat_id, grip))

    @app.post("/tables/{table_id}/seats/{seat_id}/let-back/{grip}")
    def let_back(table_id: str, seat_id: str, grip: int) -> Response:
        return _do(lab, table_id, lambda at: let_device_back(lab, at, seat_id, grip))

    @app.post("/tables/{table_id}/seats/{seat_id}/leave-out")
    def go_without(table_id: str, seat_id: str, reason: Reason = "") -> Response:
        return _do(lab, table_id, lambda at: leave_out(lab, at, seat_id, reason))

    @app.post("/tables/{table_id}/seats/{seat_id}/bring-back")
    def count_again(table_id: str, seat_id: str) -> Response:
        return _do(lab, table_id, lambda at: bring_back(lab, at, seat_id))

    @app.post("/tables/{table_id}/seats/{seat_id}/admit")
    def admit(table_id: str, seat_id: str, reason: Reason = "") -> Response:
        return _do(lab, table_id, lambda at: admit_late(lab, at, seat_id, reason))

    @app.post("/tables/{table_id}/cut-off")
    def cut_off(table_id: str, cut_off: Reason = "", reason: Reason = "") -> Response:
        return _do(lab, table_id, lambda at: move_cut_off(lab, at, read_number(cut_off), reason))


def _do(lab: Lab, table_id: str, act: Callable[[Table], object]) -> Response:
    at, _ = look_at(lab, table_id)
    act(at)
    return RedirectResponse(f"/tables/{table_id}#seating", status_code=303)
