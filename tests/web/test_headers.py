import pytest
from fastapi.testclient import TestClient

from crustbreak.web.headers import Discreet


@pytest.mark.parametrize("path", ["/", "/static/tokens.css", "/nowhere"])
@pytest.mark.parametrize("app", ["host", "floor"])
def test_every_answer_keeps_nothing_and_loads_nothing_from_elsewhere(
    request: pytest.FixtureRequest, app: str, path: str
) -> None:
    client: TestClient = request.getfixturevalue(app)

    headers = client.get(path).headers

    assert headers["cache-control"] == "no-store"
    assert headers["referrer-policy"] == "no-referrer"
    assert "default-src 'self'" in headers["content-security-policy"]
    assert "unsafe" not in headers["content-security-policy"]
    assert "frame-ancestors 'none'" in headers["content-security-policy"]


def test_a_page_keeps_a_policy_of_its_own() -> None:
    async def page(scope, receive, send) -> None:  # type: ignore[no-untyped-def]  # noqa: ANN001
        own = [(b"content-security-policy", b"default-src 'none'")]
        await send({"type": "http.response.start", "status": 200, "headers": own})
        await send({"type": "http.response.body", "body": b""})

    headers = TestClient(Discreet(page)).get("/").headers

    assert headers["content-security-policy"] == "default-src 'none'"
    assert headers["cache-control"] == "no-store"
