"""Each answer has the fields that its model says, and the model changes nothing of it."""

import json
from typing import Any

import pytest
from at_a_match import planned_match
from at_the_door import SETTINGS
from at_the_table import finish, seated, send, under_way, whole_sheet
from fastapi.encoders import jsonable_encoder
from fastapi.routing import APIRoute
from fastapi.testclient import TestClient
from pydantic import ValidationError

from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import Answer
from crustbreak.services.devices.codes import give_pass
from crustbreak.services.devices.helper import receive_taps, view_help
from crustbreak.services.devices.join import Seated, become_helper, find_device
from crustbreak.services.devices.seat_view import view_seat
from crustbreak.services.results.taster_view import view_uncovered
from crustbreak.services.tables.actions import uncover
from crustbreak.services.tables.views import view_table
from crustbreak.web.phone.app import phone_app
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
    RESPONSES,
    AnswerData,
    CheckResponse,
    ClockData,
    CodeResponse,
    EntriesResponse,
    FactData,
    FreeSeat,
    HelperResponse,
    HelpResponse,
    HelpStateResponse,
    InvitationResponse,
    KeptEntry,
    LineData,
    OptionData,
    OtherTotal,
    Pace,
    PlaceData,
    Response,
    RoundData,
    RoundStart,
    RunData,
    SeatResponse,
    SheetData,
    SheetResponse,
    StateResponse,
    TableState,
    TakenSeat,
    TapData,
    UncoveredCoffee,
    UncoveredResponse,
    Walk,
)

EVERY: tuple[type[Response], ...] = (
    CodeResponse,
    FreeSeat,
    InvitationResponse,
    Walk,
    TakenSeat,
    SeatResponse,
    HelperResponse,
    PlaceData,
    RoundData,
    OptionData,
    LineData,
    SheetData,
    KeptEntry,
    TableState,
    StateResponse,
    FactData,
    ClockData,
    RoundStart,
    RunData,
    HelpStateResponse,
    SheetResponse,
    Pace,
    TapData,
    HelpResponse,
    AnswerData,
    EntriesResponse,
    CheckResponse,
    OtherTotal,
    UncoveredCoffee,
    UncoveredResponse,
)
NOWHERE: dict[str, list[str]] = {"addresses": []}


def text_of(data: Any) -> str:
    """Return data as it goes over the wire; 6 and 6.0 are two texts."""
    return json.dumps(jsonable_encoder(data), sort_keys=True)


def through(model: type[Response], data: Any) -> str:
    return text_of(model.model_validate(data).model_dump(mode="json", exclude_unset=True))


def helped(lab: Lab, table: Table) -> Any:
    at = become_helper(lab, give_pass(lab, table, None).token, "c" * 32)
    taps = [
        {"id": f"{no:032x}", "grip": 1, "no": no, "device_time": "2025-03-04T05:06:07Z", **tap}
        for no, tap in enumerate(
            (
                {"kind": "broken", "value": None},
                {"kind": "dose weighed", "value": "9.1", "place": table.places[0].id, "cup": 1},
                {"kind": "bowl poured", "value": None, "place": table.places[0].id, "cup": 2},
                {"kind": "poured", "value": None},
            ),
            start=1,
        )
    ]
    receive_taps(lab, at, taps)
    return view_help(lab, at)


def test_a_tasters_answers_pass_unchanged(lab: Lab) -> None:
    table = under_way(lab, tasters=("Odile", "Anouk"))
    at = seated(lab, table, 0)
    send(lab, at, whole_sheet(lab, at))
    side = view_seat(lab, at)
    sheet = {**sheet_data(lab, side), **NOWHERE}

    assert sheet["entries"]
    assert through(SheetResponse, sheet) == text_of(sheet)
    assert through(StateResponse, state_data(side)) == text_of(state_data(side))
    assert through(SeatResponse, seat_data(at)) == text_of(seat_data(at))


def test_another_questions_sheet_passes_unchanged(lab: Lab) -> None:
    table = planned_match(lab)
    sheet = {**sheet_data(lab, view_seat(lab, seated(lab, table, 0))), **NOWHERE}

    assert through(SheetResponse, sheet) == text_of(sheet)


def test_a_helpers_answers_pass_unchanged(lab: Lab) -> None:
    side = helped(lab, under_way(lab))
    data = {**help_data(lab, side), **NOWHERE}
    state = help_state_data(lab, side)

    assert data["taps"]
    assert state["facts"]
    assert through(HelpResponse, data) == text_of(data)
    assert through(HelpStateResponse, state) == text_of(state)


def test_the_answers_to_entries_and_the_names_pass_unchanged(lab: Lab) -> None:
    table = under_way(lab)
    at = seated(lab, table, 0)
    finish(lab, at)
    uncover(lab, table)
    names = uncovered_data(view_uncovered(lab, at))
    aside = Answer(entry_id="a" * 32, word="set aside", rule="A rule.", remedy="Do this.")
    answers = {"answers": [answer_data(aside)]}

    assert through(UncoveredResponse, names) == text_of(names)
    assert through(EntriesResponse, answers) == text_of(answers)


@pytest.mark.parametrize("model", EVERY)
def test_a_field_that_no_model_names_is_refused(model: type[Response]) -> None:
    with pytest.raises(ValidationError, match="planted\n  Extra inputs are not permitted"):
        model.model_validate({"planted": "Ox"})


def test_every_route_of_the_phone_app_says_what_it_answers(lab: Lab) -> None:
    routes = [each for each in phone_app(lab, SETTINGS).routes if isinstance(each, APIRoute)]
    said = {each.path: each.response_model for each in routes}

    # A page and an open line are no JSON; the state is a taster's or a helper's.
    assert {path for path, model in said.items() if model not in RESPONSES} == {
        *("/", "/stream", "/state")
    }
    assert said["/state"] == StateResponse | HelpStateResponse
    assert {*said.values(), StateResponse, HelpStateResponse} >= set(RESPONSES)


@pytest.mark.parametrize("path", ["/sheet", "/state"])
def test_an_answer_crosses_the_wire_as_it_was_made(phones: TestClient, lab: Lab, path: str) -> None:
    table, secret = under_way(lab), "a" * 32
    wish = {"token": view_table(lab, table.id).invitation, "secret": secret}
    phones.post(f"/seats/{table.seats[0].id}", json=wish)
    at = find_device(lab, secret)
    assert isinstance(at, Seated)
    send(lab, at, whole_sheet(lab, at))

    heard = phones.get(path, headers={"Authorization": f"Bearer {secret}"}).json()

    side = view_seat(lab, at)
    made = state_data(side)
    if path == "/sheet":
        made = {**sheet_data(lab, side), "addresses": heard["addresses"]}
    assert text_of(heard) == text_of(made)
