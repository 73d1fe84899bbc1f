import pytest
from jinja2 import UndefinedError

from crustbreak.core.errors import NotNow, Problem
from crustbreak.web.http.pages import Piece, error_data, error_json, error_page, fill


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
