import pytest
from fastapi.testclient import TestClient

from crustbreak.ports.lab import Lab
from crustbreak.web.http.headers import Discreet, phone_headers, phone_policy


@pytest.mark.parametrize("path", ["/", "/static/phone/mark.svg", "/nowhere"])
@pytest.mark.parametrize("app", ["host", "phones"])
def test_every_answer_keeps_nothing_and_loads_nothing_from_elsewhere(
    request: pytest.FixtureRequest, app: str, path: str
) -> None:
    client: TestClient = request.getfixturevalue(app)

    headers = client.get(path).headers

    assert headers["cache-control"] == "no-store"
    # `same-origin` tells others as little, and lets the host's forms say where they come from.
    assert headers["referrer-policy"] == ("same-origin" if app == "host" else "no-referrer")
    assert headers["x-content-type-options"] == "nosniff"
    assert "default-src 'self'" in headers["content-security-policy"]
    assert "unsafe" not in headers["content-security-policy"]
    assert "frame-ancestors 'none'" in headers["content-security-policy"]


@pytest.mark.parametrize("path", ["/static/shared/tokens.css", "/static/phone/phone-page.js"])
def test_a_part_of_a_page_carries_no_more_than_it_needs(phones: TestClient, path: str) -> None:
    headers = phones.get(path).headers

    assert headers["cache-control"] == "no-store"
    assert headers["x-content-type-options"] == "nosniff"
    assert {"content-security-policy", "etag", "last-modified", "accept-ranges"} & set(
        headers
    ) == set()
    assert not [name for name in headers if name.startswith("crustbreak")]


def test_a_page_keeps_a_policy_of_its_own() -> None:
    async def page(scope, receive, send) -> None:  # type: ignore[no-untyped-def]  # noqa: ANN001
        own = [(b"content-security-policy", b"default-src 'none'")]
        await send({"type": "http.response.start", "status": 200, "headers": own})
        await send({"type": "http.response.body", "body": b""})

    headers = TestClient(Discreet(page)).get("/").headers

    assert headers["content-security-policy"] == "default-src 'none'"
    assert headers["cache-control"] == "no-store"


def test_the_floor_says_which_lab_it_is_and_what_time_it_has(lab: Lab, phones: TestClient) -> None:
    headers = phones.get("/static/nothing").headers

    assert headers["crustbreak-lab"] == lab.incarnation == phone_headers(lab)["Crustbreak-Lab"]
    # The moment at which the tests' clock stands.
    assert headers["crustbreak-now"] == "2031-03-04T09:30:00.000Z"


def test_the_phones_page_may_reach_the_floor_at_another_address(phones: TestClient) -> None:
    policy = phones.get("/").headers["content-security-policy"]

    assert policy == phone_policy(8771)
    assert "connect-src 'self' http://*:8771" in policy
