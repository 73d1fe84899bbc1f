"""Whether an older copy of the lab may take the place of the present one."""

from crustbreak.core.errors import NotNow
from crustbreak.domain.tables.transitions import FlightState
from crustbreak.ports.lab import Lab
from crustbreak.services.tables.views import list_tables

# Bowls are filled, and somebody may be tasting.
OPEN_STATES = frozenset(
    {FlightState.SET, FlightState.UNDER_WAY, FlightState.HANDED_IN, FlightState.CALLED}
)


def demand_no_open_table(lab: Lab) -> None:
    """Refuse while a table is open: what is said at it would be in neither lab."""
    for table, flight in list_tables(lab):
        if flight in OPEN_STATES:
            name = table.occasion or table.id
            raise NotNow(
                f"The table '{name}' is {flight}.",
                hint="Uncover it or give it up first; then put the copy back.",
            )
