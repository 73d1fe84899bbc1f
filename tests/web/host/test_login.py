import pytest
from at_the_door import HOST, new_links, stranger_at_host
from at_the_table import COFFEES, planned
from fastapi.testclient import TestClient

from crustbreak.ports.lab import Lab
from crustbreak.web.host.login import KEPT_S, Entered, NotEntered, cookie_name, let_in
from crustbreak.web.http.pages import error_page


def test_lets_in_by_the_link_and_knows_the_browser_then(lab: Lab) -> None:
    links = new_links(lab)
    with stranger_at_host(lab, links) as browser:
        entered = browser.get(f"/enter/{links.unused}")
        page = browser.get("/")

    assert (entered.status_code, entered.headers["location"]) == (303, "/")
    assert page.status_code == 200
    cookie = entered.headers["set-cookie"].lower()
    assert cookie.startswith("crustbreak_8770=")
    for rule in ("httponly", "samesite=strict", "path=/", f"max-age={KEPT_S}"):
        assert rule in cookie
    assert "domain" not in cookie


def test_a_link_gives_a_cookie_and_the_way_to_todays_page(lab: Lab) -> None:
    links = new_links(lab)

    answer = let_in(lab, links, links.unused, 8770)

    assert answer.status_code == 303
    assert cookie_name(8770) in answer.headers["set-cookie"]


def test_a_used_or_guessed_link_opens_nothing(lab: Lab) -> None:
    links = new_links(lab)
    used = links.unused
    with stranger_at_host(lab, links) as first:
        first.get(f"/enter/{used}")

    with stranger_at_host(lab, links) as second:
        answers = [second.get(f"/enter/{link}") for link in (used, "guess", "%ED%A0%80", "%00")]
        page = second.get("/")

    assert [answer.status_code for answer in answers] == [403] * 4
    assert all("crustbreak link" in answer.text for answer in answers)
    assert not any("set-cookie" in answer.headers for answer in answers)
    assert page.status_code == 401


@pytest.mark.parametrize("cookie", ["", "crustbreak_8770=", "crustbreak_8770=guess", "x", "=;=;"])
def test_a_browser_without_its_cookie_sees_and_does_nothing(lab: Lab, cookie: str) -> None:
    table = planned(lab)
    asked = [
        *(("GET", path) for path in ("/", "/nowhere", "/plan/choose", "/evidence.css", "/enter")),
        *(("GET", f"/tables/{table.id}{rest}") for rest in ("", "/live", "/memo")),
        *(("POST", f"/tables/{table.id}{rest}") for rest in ("/card", "/taps/set", "/abandon")),
    ]

    with stranger_at_host(lab, new_links(lab)) as browser:
        headers = {"origin": HOST, "cookie": cookie}
        answers = [browser.request(how, path, headers=headers) for how, path in asked]

    assert {answer.status_code for answer in answers} == {NotEntered.status} == {401}
    assert all("crustbreak link" in answer.text for answer in answers)
    assert not any(coffee in answer.text for coffee in COFFEES for answer in answers)
    # The card would be written down as seen: nothing was.
    assert lab.repository.read(lambda records: records.events(table.id)) == ()


def test_gives_a_stranger_what_a_page_needs_to_look_as_it_should(lab: Lab) -> None:
    with stranger_at_host(lab, new_links(lab)) as browser:
        style = browser.get("/static/shared/tokens.css")
        outside = browser.get("/static/shared/../../plan/choose")

    assert style.status_code == 200
    assert outside.status_code == 401


def test_knows_a_browser_by_a_cookie_of_its_own_port(lab: Lab, host: TestClient) -> None:
    secret = host.cookies[cookie_name(8770)]

    async def page(scope, receive, send) -> None:  # type: ignore[no-untyped-def]  # noqa: ANN001
        await send({"type": "http.response.start", "status": 204, "headers": []})
        await send({"type": "http.response.body", "body": b""})

    browser = TestClient(Entered(page, say=error_page, lab=lab, port=9000))
    other = browser.get("/", headers={"cookie": f"{cookie_name(8770)}={secret}"})
    own = browser.get("/", headers={"cookie": f"{cookie_name(9000)}={secret}"})

    assert (other.status_code, own.status_code) == (401, 204)
