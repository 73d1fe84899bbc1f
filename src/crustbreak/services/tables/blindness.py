"""How blind a table was: what is known of its key, and of who knew what beforehand."""

from typing import Any

from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.services.tables.keys import identified_bowls
from crustbreak.services.tables.state import TableSnapshot, snapshot


def blindness_of(lab: Lab, table: Table, found: TableSnapshot | None = None) -> dict[str, Any]:
    """Return what is said beside the evidence of how blind it is, as plain data.

    Args:     found: how the table stands, where that is known already.
    Returns:  `numbered`: how the bowls were read, None at a table that was set by a key; `knew`:
              who thought to know which code.
    Raises:   NotYours while codes are sealed.
    """
    found = found or lab.repository.read(lambda records: snapshot(lab, records, table))
    seats, code_of = found.state.seats, {place.id: place.code for place in table.blind}
    return {
        "numbered": _numbered(lab, table, found) if table.is_numbered else None,
        "knew": [
            {"taster": seat.taster, "code": code_of[place]}
            for seat in table.seats
            if seats[seat.id].left_out is None
            for place in code_of
            if place in seats[seat.id].knew
        ],
    }


def _numbered(lab: Lab, table: Table, found: TableSnapshot) -> dict[str, Any]:
    washed = identified_bowls(lab, table, found)
    read = [act for act in found.acts if act.kind == "bowls read"]
    return {
        "read": [{"at": act.at, "reason": act.detail} for act in read],
        "places": [
            {
                "code": place.code,
                "named": washed is not None and place.id in washed.coffee_of,
                "doubts": list(washed.doubts.get(place.id, ())) if washed else [],
            }
            for place in table.blind
        ],
    }
