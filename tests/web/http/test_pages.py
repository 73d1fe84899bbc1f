from typing import Any

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from jinja2 import UndefinedError

from crustbreak.core.errors import NotNow, Problem, Unacceptable, refuse
from crustbreak.web.http.pages import (
    Piece,
    answer_form,
    error_data,
    error_json,
    error_page,
    fill,
    serve_static,
)


def test_escapes_every_value() -> None:
    page = fill("host/error.html", {"message": "<b>", "hint": "&", "problems": ()})

    assert "&lt;b&gt;" in page
    assert "&amp;" in page


def test_a_missing_value_is_an_error() -> None:
    with pytest.raises(UndefinedError):
        fill("host/error.html", {"message": "No"})


def test_says_an_error_in_one_shape() -> None:
    problem = Problem(where="204", rule="on the scale", found="5", remedy="Choose a point.")

    data = error_data(NotNow("No.", hint="Wait.", problems=(problem,)))

    assert data == {
        "message": "No.",
        "hint": "Wait.",
        "problems": [
            {
                "where": "204",
                "rule": "on the scale",
                "found": "5",
                "remedy": "Choose a point.",
            }
        ],
    }


def test_a_piece_is_html_and_no_page() -> None:
    assert Piece("<p>").media_type == "text/html"


def test_says_an_error_as_each_app_does() -> None:
    error = NotNow("<b>No.", hint="Wait.")

    page, data = error_page(error), error_json(error)

    assert (page.status_code, page.media_type) == (409, "text/html")
    assert b"&lt;b&gt;No." in bytes(page.body)
    assert (data.status_code, data.media_type) == (409, "application/json")
    assert b'"hint":"Wait."' in bytes(data.body)


def test_a_form_that_can_be_done_leads_on() -> None:
    answer = answer_form(lambda: "/tables/1", "host/error.html", lambda _: {})

    assert (answer.status_code, answer.headers["location"]) == (303, "/tables/1")


def test_a_form_that_cannot_be_done_is_shown_again_with_what_is_wrong() -> None:
    problem = Problem(where="Tasters", rule="1 to 12 names", found="none", remedy="Give a name.")
    seen: list[tuple[Problem, ...]] = []

    def refused() -> str:
        refuse("The plan", (problem,))
        return "/never"

    def again(found: tuple[Problem, ...]) -> dict[str, Any]:
        seen.append(found)
        return error_data(Unacceptable("The plan", hint="", problems=found))

    answer = answer_form(refused, "host/error.html", again)

    assert answer.status_code == Unacceptable.status
    assert seen == [(problem,)]
    assert "Give a name." in bytes(answer.body).decode()


@pytest.mark.parametrize(("room", "other"), [("phone", "host"), ("host", "phone")])
def test_an_app_serves_its_own_files_and_the_shared_ones(room: str, other: str) -> None:
    app = FastAPI()
    serve_static(app, room)
    browser = TestClient(app)

    found = {
        name: browser.get(f"/static/{name}").status_code
        for name in (f"{room}/{room}.css", "shared/tokens.css", f"{other}/{other}.css")
    }

    assert list(found.values()) == [200, 200, 404]
