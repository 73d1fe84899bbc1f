"""Who may know what, and when.

The whole of the tool's blindness is these few questions. Whoever reads the key, or shows one
taster what another said, asks here first.
"""

from enum import StrEnum

from crustbreak.domain.tables.transitions import FlightState

OPEN_STATES = frozenset({FlightState.UNCOVERED, FlightState.DECIDED})

# The setter fills the bowls by the card. Once water is on the grounds nobody needs it.
SETTING_STATES = frozenset({FlightState.PLANNED, FlightState.SET})


class Role(StrEnum):
    """Who asks."""

    SETTER = "setter"
    HOST = "host"
    TASTER = "taster"


def may_know_key(role: Role, flight: FlightState, *, water: bool = False) -> bool:
    """Return whether this role may see which coffee stands under which code.

    water:  a pour was tapped at this table, even if it was taken back: somebody may have tasted
            since, so the setter's time is over for good.
    """
    if flight in OPEN_STATES:
        return True
    return role is Role.SETTER and flight in SETTING_STATES and not water


def may_know_duplicate(flight: FlightState, *, is_shown: bool) -> bool:
    """Return whether it may be known which codes were one coffee, and how far apart they were.

    is_shown:  the host has asked for it since every taster had called.
    """
    return flight in OPEN_STATES or (flight is FlightState.CALLED and is_shown)


def may_see_totals(flight: FlightState) -> bool:
    """Return whether any total may be shown: not even one's own while codes are sealed."""
    return flight in OPEN_STATES
