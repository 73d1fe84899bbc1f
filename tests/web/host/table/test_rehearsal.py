import pytest
from at_the_door import host_client
from at_the_table import COFFEES, planned, under_way
from fastapi import FastAPI
from fastapi.routing import APIRoute

from crustbreak.ports.lab import Lab
from crustbreak.web.host.table.rehearsal import add_rehearsal, rehearsal_plan
from crustbreak.web.phone.payloads import open_data, places_data


def test_plays_by_codes_and_course_and_writes_nothing(lab: Lab) -> None:
    table = planned(lab)
    before = lab.repository.read(lambda records: records.version(table.id))
    with host_client(lab) as host:
        page = host.get(f"/tables/{table.id}/rehearsal")

    assert page.status_code == 200
    assert all(place.code in page.text for place in table.places)
    assert not any(name in page.text for name in COFFEES)
    assert lab.repository.read(lambda records: records.version(table.id)) == before


def test_a_table_under_way_is_rehearsed_as_it_was_planned(lab: Lab) -> None:
    table = under_way(lab)

    plan = rehearsal_plan(lab, table)

    assert plan["places"] == places_data(table.places)
    assert plan["open"] == open_data(table)
    assert (plan["run"]["isPoured"], plan["run"]["isBroken"]) == (False, False)
    assert len(plan["run"]["clocks"]) == len(table.cups)


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE"])
def test_it_can_only_be_looked_at(lab: Lab, method: str) -> None:
    app = FastAPI()

    add_rehearsal(app, lab)

    (route,) = [each for each in app.routes if isinstance(each, APIRoute)]
    assert method not in route.methods
