"""What the phone app says, as plain data.

Nothing here has a coffee's name before the uncovering.
"""

from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

from crustbreak.core.units import utc_text
from crustbreak.domain.records.tables import Place, Table
from crustbreak.domain.records.tasting_orders import TastingOrder
from crustbreak.domain.sheets.definition import Line, Sheet
from crustbreak.domain.tables.transitions import CupState
from crustbreak.exchange.entry_json import entry_data
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import Answer, Tap
from crustbreak.services.devices.helper import HelperSide, may_be_noted
from crustbreak.services.devices.join import Seated
from crustbreak.services.devices.seat_view import SeatSide
from crustbreak.services.results.taster_view import Uncovered
from crustbreak.web.phone.bowl_payloads import facts_data, run_data, taste_from_data


def seat_data(at: Seated) -> dict[str, Any]:
    """Return a device its seat, with the order in which it goes along the places that it tastes."""
    tasting_order = asdict(_among_own(at.seat.tasting_order)) if at.seat.tasting_order else None
    seat = {"id": at.seat.id, "taster": at.seat.taster, "walk": tasting_order}
    return {"table": at.table.id, "seat": seat, "grip": at.grip}


def _among_own(tasting_order: TastingOrder) -> TastingOrder:
    """Number the places anew, from 0, as they stand when those that others taste are left out."""
    nth = {place: number for number, place in enumerate(sorted(tasting_order.there))}
    return TastingOrder(
        there=tuple(nth[place] for place in tasting_order.there),
        back=tuple(nth[place] for place in tasting_order.back),
    )


def sheet_data(lab: Lab, side: SeatSide) -> dict[str, Any]:
    """Return a seat all that it needs to go on: the sheet, the codes, its own entries.

    The state.
    """
    table = side.seated.table
    question = lab.plugin(table.question).question
    return {
        **seat_data(side.seated),
        "asks": question.asks,
        "paper_code": side.paper_code,
        "sheet": _sheet_data(lab.sheet(table.sheet)),
        "places": places_data(table.tasted_by(side.seated.seat)),
        "open": open_data(table),
        "verdicts": question.verdicts,
        "subjects": side.subjects,
        "entries": [
            {**entry_data(entry), "word": "kept late" if entry.id in side.late else "kept"}
            for entry in side.entries
        ],
        "state": state_data(side),
    }


def places_data(places: Iterable[Place]) -> list[dict[str, Any]]:
    """Return places as they stand: codes and bowls, no coffee's name."""
    return [{"id": place.id, "code": place.code, "cups": place.cups} for place in places]


def open_data(table: Table) -> list[dict[str, Any]]:
    """Return the bowls that stand open, in standing order; no name, which is on the table."""
    return places_data(place for place in table.places if place.is_open)


def _sheet_data(sheet: Sheet) -> dict[str, Any]:
    return {
        "ref": sheet.ref,
        "title": sheet.title,
        "rounds": [{"id": each.id, "title": each.title, "say": each.say} for each in sheet.rounds],
        "lines": [_line_data(line) for line in sheet.lines],
    }


def _line_data(line: Line) -> dict[str, Any]:
    # What a word is worth stays in the lab: the phone shows no total and can make none.
    return {
        "id": line.id,
        "title": line.title,
        "kind": line.kind,
        "round": line.round,
        "least": line.least,
        "most": line.most,
        "step": line.step,
        "anchors": sorted(line.anchors.items()),
        "options": [{"id": option.id, "said": option.said} for option in line.options],
        "all_alike": line.all_alike,
        "compares": line.compares,
        "beside": line.beside,
    }


def state_data(side: SeatSide) -> dict[str, Any]:
    """Return how the table stands, as one seat may know it."""
    view = side.view
    return {
        **_table_state(side),
        "seat": view.state,
        "called": view.called,
        # Once it is known which codes were one coffee, nobody calls by code alone any more.
        "calls_stand": side.state.duplicate_shown is not None,
        "holds": side.holds,
        "left_out": view.left_out,
        "missing": view.missing,
        "decided_at": utc_text(side.decided_at) if side.decided_at else None,
    }


def _table_state(side: SeatSide | HelperSide) -> dict[str, Any]:
    table = side.seated.table if isinstance(side, SeatSide) else side.helping.table
    poured_at = side.state.poured_at
    return {
        "flight": side.state.flight,
        "now": utc_text(side.now),
        # A clock that was put back during the table makes no time run backwards.
        "since_pour_s": max((side.now - poured_at).total_seconds(), 0) if poured_at else None,
        "cups": _cups_data(table, side.cups),
        "taste_from_s": taste_from_data(table, side.state),
    }


def _cups_data(table: Table, states: Iterable[CupState]) -> dict[str, list[str]]:
    cups: dict[str, list[str]] = {}
    for (place, _), state in zip(table.cups, states, strict=True):
        cups.setdefault(place.id, []).append(state)
    return cups


def answer_data(answer: Answer) -> dict[str, Any]:
    """Return the answer to one entry."""
    return {
        "id": answer.entry_id,
        "word": answer.word,
        "rule": answer.rule,
        "remedy": answer.remedy,
    }


def help_data(lab: Lab, side: HelperSide) -> dict[str, Any]:
    """Return a helper all that it needs: codes, pace, what it tapped, the state."""
    table = side.helping.table
    return {
        "table": table.id,
        "helper": True,
        "grip": side.helping.grip,
        "asks": lab.plugin(table.question).question.asks,
        "places": places_data(table.places),
        "open": open_data(table),
        "recipe": {"pace_s": table.recipe.pace_s, "steep_s": table.recipe.steep_s},
        "taps": [_tap_data(tap) for tap in side.taps],
        "state": help_state_data(lab, side),
    }


def help_state_data(lab: Lab, side: HelperSide) -> dict[str, Any]:
    """Return how the table stands, and what can be tapped now."""
    return {
        **_table_state(side),
        "can": side.can,
        "may_note": may_be_noted(side.state),
        "facts": facts_data(side.state),
        "run": run_data(side.helping.table, side.state, lab.sheet(side.helping.table.sheet)),
    }


def _tap_data(tap: Tap) -> dict[str, Any]:
    return {
        "id": tap.id,
        "grip": tap.grip,
        "no": tap.no,
        "kind": tap.kind,
        "place": tap.place_id,
        "cup": tap.cup,
        "value": tap.value,
        "device_time": utc_text(tap.device_time),
        "word": "set aside" if tap.rule else "kept",
        "rule": tap.rule,
        "remedy": tap.remedy,
    }


def uncovered_data(seen: Uncovered) -> dict[str, Any]:
    """Return the names and the scores, once the codes have them."""
    return {
        "occasion": seen.occasion,
        "how_sure": seen.how_sure,
        "coffees": [
            {
                "code": place.code,
                "coffee": place.coffee,
                "own_total": place.own_total,
                "own_missing": place.own_missing,
                "own_call": place.own_call,
                "others": [{"taster": taster, "total": total} for taster, total in place.others],
            }
            for place in seen.places
        ],
        "verdicts": seen.verdicts or None,
    }
