import pytest
from at_the_table import planned, played, seated, under_way

from crustbreak.core.errors import NotNow
from crustbreak.ports.lab import Lab
from crustbreak.services.lab.restore import OPEN_STATES, demand_no_open_table
from crustbreak.services.tables.actions import abandon, table_set


def test_a_table_that_is_planned_or_closed_is_in_nobodys_way(lab: Lab) -> None:
    planned(lab)
    played(lab, planned(lab))
    abandon(lab, under_way(lab), "no water")

    demand_no_open_table(lab)


def test_a_table_from_the_setting_to_the_calls_is_in_the_way(lab: Lab) -> None:
    table = planned(lab)
    table_set(lab, table)
    seated(lab, table)

    with pytest.raises(NotNow, match="'Morning offers' is set") as refused:
        demand_no_open_table(lab)

    assert "give it up" in refused.value.hint
    assert {str(state) for state in OPEN_STATES} == {"set", "under way", "handed in", "called"}
