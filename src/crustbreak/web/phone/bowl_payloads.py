"""Each bowl of a running table as plain data: its clock, and what was noted of it."""

from collections.abc import Iterator
from datetime import datetime
from typing import Any

from crustbreak.domain.records.tables import Place, Table
from crustbreak.domain.sheets.definition import Sheet
from crustbreak.domain.tables.bowl_facts import Fact
from crustbreak.domain.tables.clocks import clocks_of, taste_from
from crustbreak.domain.tables.state import TableState


def place_text(place: Place) -> str:
    """Return what a place is called where its code stands in a sentence.

    >>> place_text(Place(id="p1", code="open", cups=1, is_open=True))
    'the open bowl'
    """
    return "the open bowl" if place.is_open else place.code


def facts_data(state: TableState) -> list[dict[str, Any]]:
    """Return what was noted of single bowls, with the name by which each is taken back.

    `is_vain` marks what cannot have been: it is kept and changes nothing. `at_s` counts from the
    first pour, below zero before it; None while nothing was poured.
    """
    stands = [fact for noted in state.bowls.noted.values() for fact in noted.values()]
    return [
        *(_fact(fact, state, is_vain=False) for fact in stands),
        *(_fact(fact, state, is_vain=True) for fact in state.bowls.ignored),
    ]


def _fact(fact: Fact, state: TableState, *, is_vain: bool) -> dict[str, Any]:
    return {
        "name": fact.name,
        "place": fact.place_id,
        "cup": fact.cup,
        "kind": fact.kind,
        "figure": fact.figure,
        "at_s": since_pour_s(state, fact.at),
        "is_vain": is_vain,
    }


def since_pour_s(state: TableState, moment: datetime | None) -> float | None:
    """Return how long after the first pour a moment lies, s; None where there is either not."""
    if moment is None or state.poured_at is None:
        return None
    return (moment - state.poured_at).total_seconds()


def taste_from_data(table: Table, state: TableState) -> dict[str, float]:
    """Return from when on each place may be tasted, s from the first pour; as planned before it."""
    planned = {place.id: float(table.taste_from_s(place.id)) for place in table.places}
    return planned | {
        place_id: since
        for place_id, moment in taste_from(table, state).items()
        if (since := since_pour_s(state, moment)) is not None
    }


def clocks_data(table: Table, state: TableState) -> list[dict[str, Any]]:
    """Return each bowl's clock in pouring order, s from the first pour; as planned before it.

    `break_s` and `skim_s` are when it was done, or is due; `skim_s` is None where no skim was
    planned. `is_broken` tells whether a break was said, of this bowl or of the first.
    """
    return list(_clocks(table, state))


def _clocks(table: Table, state: TableState) -> Iterator[dict[str, Any]]:
    every = zip(table.cups, clocks_of(table, state), strict=True)
    for nth, ((place, cup), clock) in enumerate(every):
        times = table.times(nth)
        bowl = {"place": place.id, "code": place_text(place), "cup": cup}
        spilt = {"is_spilt": clock.spilt_at is not None, "is_broken": clock.broken_at is not None}
        if state.poured_at is None:
            first = table.times(0).pour_s
            yield {
                **bowl,
                **spilt,
                "pour_s": times.pour_s - first,
                "break_s": times.break_s - first,
                "skim_s": times.skim_s - first if table.course else None,
                "taste_s": times.pour_s - first + table.first_round_s,
            }
            continue
        yield {
            **bowl,
            **spilt,
            "pour_s": since_pour_s(state, clock.poured_at),
            "break_s": since_pour_s(state, clock.broken_at or clock.break_due),
            "skim_s": since_pour_s(state, clock.skimmed_at or clock.skim_due),
            "taste_s": since_pour_s(state, clock.taste_from),
        }


# From one tasting round to the next: five to ten minutes are common practice, no source.
ROUND_APART_S = 420


def run_data(table: Table, state: TableState, sheet: Sheet) -> dict[str, Any]:
    """Return all that names the next bowl at any moment: the clocks, the rounds, the two taps."""
    # The first round of a sheet smells; the others taste, the first of them from the first place.
    tasted = sheet.rounds[1:] or sheet.rounds
    first = min(taste_from_data(table, state).values())
    return {
        "clocks": clocks_data(table, state),
        "rounds": [
            {"title": each.title, "from_s": first + nth * ROUND_APART_S}
            for nth, each in enumerate(tasted)
        ],
        "isPoured": state.poured_at is not None,
        "isBroken": state.broken_at is not None,
    }
