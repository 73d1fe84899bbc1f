import pytest
from at_the_table import COFFEES, uncovered
from fastapi import FastAPI
from fastapi.testclient import TestClient

from crustbreak.ports.lab import Lab
from crustbreak.web.host.result.decide import add_deciding

VERDICT = {"reason": "Clean.", "decided_by": "Piet", **{f"word:{name}": "buy" for name in COFFEES}}


def test_verdict_and_memo_are_addresses_of_their_own(lab: Lab) -> None:
    app = FastAPI(openapi_url=None)

    add_deciding(app, lab)

    assert {str(getattr(route, "path", "")) for route in app.routes} == {
        "/tables/{table_id}/verdict",
        "/tables/{table_id}/memo",
        "/tables/{table_id}/memo.pdf",
    }


def test_a_verdict_leads_to_its_memo(host: TestClient, lab: Lab) -> None:
    table = uncovered(lab)

    answer = host.post(f"/tables/{table.id}/verdict", data=VERDICT)

    assert answer.headers["location"] == f"/tables/{table.id}"
    assert "Buy Marrow Hill" in host.get(f"/tables/{table.id}/memo").text
    assert host.get(f"/tables/{table.id}/memo.pdf").content.startswith(b"%PDF")


@pytest.mark.parametrize("missing", ["reason", "decided_by"])
def test_a_verdict_that_lacks_something_keeps_what_was_chosen(
    host: TestClient, lab: Lab, missing: str
) -> None:
    table = uncovered(lab)

    answer = host.post(f"/tables/{table.id}/verdict", data={**VERDICT, missing: ""})

    assert answer.status_code == 422
    assert answer.text.count("checked") == len(COFFEES)
