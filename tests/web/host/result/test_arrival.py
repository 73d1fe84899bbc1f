"""The pages beside an arrival: what is typed is kept, or stays on the page with its faults."""

import pytest
from at_a_match import ALIKE, planned_match, tasted_match
from at_the_door import SETTINGS, new_links
from at_the_table import planned
from fastapi import FastAPI
from fastapi.testclient import TestClient

from crustbreak.core.errors import NotThere
from crustbreak.domain.records.tables import Table
from crustbreak.domain.trade.claims import EVIDENCE
from crustbreak.ports.lab import Lab
from crustbreak.web.host.app import host_app
from crustbreak.web.host.result.arrival import (
    add_arrival,
    claim_view,
    physicals_view,
    read_claim_form,
    read_physicals_form,
)

MEASURED = {
    "moisture:at_approval": "10,8",
    "moisture:found": "12.9",
    "moisture:most": "12.5",
    "score": "87.5",
    "tasters": "3",
    "usual": "84",
    "by": "Odile",
}
CLAIMED = {
    "discharged": "2031-02-23",
    "contract": "gca/1",
    "said:samples": "Seals 4411 to 4413",
    "said:bad_cups": "2 of 15, potato",
    "by": "Odile",
}


@pytest.fixture
def table(lab: Lab) -> Table:
    return planned_match(lab)


def paths(app: FastAPI) -> set[str]:
    return {str(getattr(route, "path", "")) for route in app.routes}


def test_pages_beside_an_arrival_are_among_the_hosts(lab: Lab) -> None:
    alone = FastAPI(openapi_url=None)
    add_arrival(alone, lab)

    conditions = {f"/tables/{{table_id}}/{each}" for each in ("physicals", "claim", "claim-pack")}
    assert conditions <= paths(alone)
    assert paths(alone) < paths(host_app(lab, SETTINGS, new_links(lab)))


def test_what_was_measured_is_kept_and_said_on_top(host: TestClient, table: Table) -> None:
    at = f"/tables/{table.id}/physicals"

    answer = host.post(at, data=MEASURED)
    page = host.get(at).text

    assert answer.status_code == 303
    assert "Moisture 12.9 % by mass is over 12.5." in page
    assert "a drop of" in page
    assert 'value="10.8"' in page


def test_a_figure_that_cannot_be_keeps_all_that_was_typed(host: TestClient, table: Table) -> None:
    answer = host.post(f"/tables/{table.id}/physicals", data={**MEASURED, "moisture:found": "wet"})

    assert answer.status_code == 422
    assert "Moisture, now" in answer.text
    assert 'value="wet"' in answer.text
    assert 'value="87.5"' in answer.text


def test_limits_and_approval_come_from_the_record_and_what_was_found_does_not(
    host: TestClient, lab: Lab, table: Table
) -> None:
    host.post(f"/tables/{table.id}/physicals", data=MEASURED)

    again = physicals_view(lab, planned_match(lab))

    assert again["is_from_record"]
    assert again["typed"]["moisture:most"] == "12.5"
    assert again["typed"]["moisture:found"] == ""
    # Who measured another parcel has not measured this one.
    assert again["typed"]["by"] == ""


def test_the_claim_clock_runs_and_its_pack_can_be_printed(host: TestClient, table: Table) -> None:
    at = f"/tables/{table.id}/claim"
    assert "does not run yet" in host.get(at).text
    assert "Claim pack, a draft" not in host.get(at).text

    host.post(at, data=CLAIMED)
    page = host.get(at).text

    assert "Day 9 of 15: 6 days left, the last one is 10 March 2031." in page
    assert "Counted from 23 February 2031, which is day 0." in page
    assert "no clearance is written down" in page
    assert "Your contract prevails" in page
    assert "Seals 4411 to 4413" in page
    assert "2 of 15, potato" in page
    assert "Day 9 of 15" in host.get(f"/tables/{table.id}/claim-pack").text
    printed = host.get(f"/tables/{table.id}/claim-pack.pdf")
    assert printed.content.startswith(b"%PDF")
    assert "claim-pack-draft" in printed.headers["content-disposition"]


def test_a_claim_with_a_fault_keeps_all_that_was_typed(host: TestClient, table: Table) -> None:
    answer = host.post(
        f"/tables/{table.id}/claim", data={**CLAIMED, "contract": "own", "own_days": "many"}
    )

    assert answer.status_code == 422
    assert "Days of your contract" in answer.text
    assert 'value="many"' in answer.text
    assert "Seals 4411 to 4413" in answer.text


def test_the_deciding_page_leads_there_and_says_what_is_known(host: TestClient, lab: Lab) -> None:
    table = planned_match(lab)
    tasted_match(lab, table, ALIKE)
    page = host.get(f"/tables/{table.id}").text
    assert "No physicals and no old score are written down yet." in page

    host.post(f"/tables/{table.id}/physicals", data=MEASURED)
    host.post(f"/tables/{table.id}/claim", data=CLAIMED)
    page = host.get(f"/tables/{table.id}").text

    assert "Moisture 12.9 % by mass is over 12.5." in page
    assert "Day 9 of 15" in page


def test_forms_are_read_as_texts_and_empty_ones_are_drafts() -> None:
    assert read_physicals_form({"moisture:found": " 12,9 "}).readings["moisture"].found == "12,9"
    assert read_physicals_form({}).score == ""
    assert read_claim_form({}).own_from == "discharge"
    assert set(read_claim_form({}).said) == {item.id for item in EVIDENCE}


def test_other_questions_have_no_such_pages(host: TestClient, lab: Lab) -> None:
    other = planned(lab)

    for page in ("physicals", "claim", "claim-pack", "claim-pack.pdf"):
        assert host.get(f"/tables/{other.id}/{page}").status_code == 404
    with pytest.raises(NotThere):
        claim_view(lab, other)
    assert "Claim clock" not in host.get(f"/tables/{other.id}").text
