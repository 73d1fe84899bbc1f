"""Three machines as tables: what can follow what.

A transition that is not in its table is impossible: the fold says so as a Problem and goes on,
because what was said is kept whether or not it fits.
"""

from collections.abc import Mapping
from enum import StrEnum


class FlightState(StrEnum):
    """Where a flight stands, from the draw of the codes to the decision."""

    PLANNED = "planned"
    SET = "set"
    UNDER_WAY = "under way"
    HANDED_IN = "handed in"
    CALLED = "called"
    UNCOVERED = "uncovered"
    DECIDED = "decided"
    ABANDONED = "abandoned"


class CupState(StrEnum):
    """What is in one bowl."""

    EMPTY = "empty"
    DOSED = "dosed"
    POURED = "poured"
    BROKEN = "broken"
    SKIMMED = "skimmed"
    SPILT = "spilt"


class SeatState(StrEnum):
    """How far one taster is."""

    OPEN = "open"
    TASTING = "tasting"
    HANDED_IN = "handed in"


FLIGHT: Mapping[tuple[FlightState, str], FlightState] = {
    (FlightState.PLANNED, "table set"): FlightState.SET,
    (FlightState.SET, "poured"): FlightState.UNDER_WAY,
    (FlightState.UNDER_WAY, "poured undone"): FlightState.SET,
    (FlightState.UNDER_WAY, "all handed in"): FlightState.HANDED_IN,
    (FlightState.HANDED_IN, "all called"): FlightState.CALLED,
    # Which codes were one coffee, before any has a name: something to talk about.
    (FlightState.CALLED, "double shown"): FlightState.CALLED,
    # What stands under the bowls is read after the calls; read once more, it is another answer.
    (FlightState.CALLED, "bowls read"): FlightState.CALLED,
    (FlightState.UNCOVERED, "bowls read"): FlightState.UNCOVERED,
    (FlightState.DECIDED, "bowls read"): FlightState.UNCOVERED,
    (FlightState.CALLED, "uncovered"): FlightState.UNCOVERED,
    (FlightState.UNCOVERED, "decided"): FlightState.DECIDED,
    # Marks that came late and are let in make new evidence, which waits for a verdict of its own.
    (FlightState.UNCOVERED, "admitted"): FlightState.UNCOVERED,
    (FlightState.DECIDED, "admitted"): FlightState.UNCOVERED,
    # The figure that decides may be moved until somebody has decided; each move is kept.
    **{
        (state, "cut-off moved"): state
        for state in FlightState
        if state not in (FlightState.DECIDED, FlightState.ABANDONED)
    },
    # A table can be given up until its codes have names; after that it has a result.
    (FlightState.PLANNED, "abandoned"): FlightState.ABANDONED,
    (FlightState.SET, "abandoned"): FlightState.ABANDONED,
    (FlightState.UNDER_WAY, "abandoned"): FlightState.ABANDONED,
    (FlightState.HANDED_IN, "abandoned"): FlightState.ABANDONED,
    (FlightState.CALLED, "abandoned"): FlightState.ABANDONED,
}

# From the first of these on a table no longer changes by what a device says.
CLOSING_ACTS = frozenset({"uncovered", "abandoned"})

CUP: Mapping[tuple[CupState, str], CupState] = {
    (CupState.EMPTY, "dosed"): CupState.DOSED,
    (CupState.DOSED, "poured"): CupState.POURED,
    (CupState.POURED, "broken"): CupState.BROKEN,
    (CupState.BROKEN, "skimmed"): CupState.SKIMMED,
    # Dry grounds are knocked over as easily as a full bowl.
    **{
        (state, "spilt"): CupState.SPILT
        for state in CupState
        if state not in (CupState.EMPTY, CupState.SPILT)
    },
}

SEAT: Mapping[tuple[SeatState, str], SeatState] = {
    (SeatState.OPEN, "mark"): SeatState.TASTING,
    (SeatState.TASTING, "mark"): SeatState.TASTING,
    # Nothing written is still an answer: an empty sheet may be handed in.
    (SeatState.OPEN, "hand in"): SeatState.HANDED_IN,
    (SeatState.TASTING, "hand in"): SeatState.HANDED_IN,
}


def may_follow(state: FlightState, event: str) -> bool:
    """Return whether this event can come while the flight stands so."""
    return (state, event) in FLIGHT
