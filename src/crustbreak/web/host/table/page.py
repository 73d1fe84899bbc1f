"""What the host's pages say, as sentences and pictures."""

from collections.abc import Sequence
from dataclasses import asdict
from itertools import groupby, pairwise
from typing import Any

from markupsafe import Markup

from crustbreak.config import Settings
from crustbreak.core.units import clock, points
from crustbreak.domain.capabilities import FollowUp, LotHistory, OtherChecks
from crustbreak.domain.records.tables import Place, Table
from crustbreak.domain.tables.blinding import may_see_totals
from crustbreak.domain.tables.deviations import deviations_of
from crustbreak.domain.tables.state import CutOffMove
from crustbreak.domain.tables.transitions import CupState, FlightState, may_follow
from crustbreak.exchange.canonical_json import plain
from crustbreak.ports.lab import Lab
from crustbreak.reports.render.html import as_piece
from crustbreak.reports.sections.blindness import blindness_texts
from crustbreak.reports.sections.claim_pack import clock_text
from crustbreak.reports.sections.controls import apart_text, control_text
from crustbreak.reports.sections.physicals import limits_text, old_score_text
from crustbreak.reports.text import format_count, format_list, format_number
from crustbreak.services.planning.follow_up import added_to
from crustbreak.services.planning.forecast import forecast_table
from crustbreak.services.planning.screening import screenings_among
from crustbreak.services.results.claims import pack_of
from crustbreak.services.results.dataset import known_lots
from crustbreak.services.results.decide import (
    evidence_blocks,
    subjects_to_decide,
    words_of,
    words_of_all,
)
from crustbreak.services.results.duplicates import (
    Twice,
    control_shown,
    may_have_duplicate,
    what_stood_twice,
)
from crustbreak.services.tables.blindness import blindness_of
from crustbreak.services.tables.views import HostView, LiveView, Today
from crustbreak.web.host.plan.forecast import forecast_view
from crustbreak.web.host.plan.orders import tasting_orders_text
from crustbreak.web.host.table.seats import (
    device_text,
    draw_qr,
    pass_view,
    seat_line,
    seat_view,
    spaced,
    tried_text,
)
from crustbreak.web.phone.bowl_payloads import facts_data, run_data, taste_from_data

# A bowl's state as drawn, and as said under it. Nothing is claimed that was not tapped.
DRAWN: dict[CupState, tuple[str, str]] = {
    CupState.EMPTY: ("empty", "empty"),
    CupState.DOSED: ("bare", "bare grounds"),
    CupState.POURED: ("crust", "crust"),
    CupState.BROKEN: ("broken", "broken"),
    CupState.SKIMMED: ("skimmed", "skimmed"),
    CupState.SPILT: ("spilt", "spilt"),
}

OWED: dict[FlightState, str] = {
    FlightState.PLANNED: "Fill the bowls by the card",
    FlightState.SET: "Pour",
    FlightState.UNDER_WAY: "Taste and hand in",
    FlightState.HANDED_IN: "Call by code",
    FlightState.CALLED: "Uncover",
    FlightState.UNCOVERED: "Decide",
}


def today_view(lab: Lab, today: Today) -> dict[str, Any]:
    """Return what is owed and what is done, or an older page of what is done."""
    words = words_of_all(lab, today.ended)
    return {
        "lab": lab,
        "owed": [_row(lab, table, flight, {}) for table, flight in today.owed],
        "done": [_row(lab, table, flight, words.get(table.id, {})) for table, flight in today.done],
        "older": today.older,
        "screenings": screenings_among(today.flights),
        "questions": [
            {"asks": plugin.question, "last": last and {"id": last.id, "title": title_of(last)}}
            for plugin in lab.plugins.values()
            for last in (today.last.get(plugin.question.id),)
        ],
    }


def _row(lab: Lab, table: Table, flight: FlightState, words: dict[str, str]) -> dict[str, Any]:
    return {
        "table": table,
        "title": title_of(table),
        "asks": lab.plugin(table.question).question.asks,
        "owed": OWED.get(flight, ""),
        "flight": flight,
        "said": words_text(words),
    }


def title_of(table: Table) -> str:
    """Name a table: what the host called it, or the day it was planned."""
    return table.occasion or f"Table of {table.planned_at.day} {table.planned_at:%B %Y}"


def words_text(words: dict[str, str]) -> str:
    """Return in words a verdict in a row: subject and word."""
    return ", ".join(f"{subject}: {word}" for subject, word in words.items())


def table_view(lab: Lab, view: HostView, settings: Settings) -> dict[str, Any]:
    """Return a running table: what is next, the picture, the seats, the way in."""
    join_url = settings.join_url
    url = join_url(view.invitation)
    plugin = lab.plugin(view.table.question)
    return {
        **live_view(lab, view),
        "title": title_of(view.table),
        "seats": [seat_view(line, view, join_url) for line in view.seats],
        "helper_pass": pass_view(view.leave, join_url),
        "break_due": clock(view.table.recipe.steep_s),
        "join_url": url,
        "phone_url": settings.addresses()[0],
        "here_url": settings.here_url(view.invitation),
        "qr": draw_qr(url),
        "asks": plugin.question.asks,
        "other_checks": plugin.question.can(OtherChecks),
        "cut_off": cut_off_view(lab, view),
        **duplicate_view(lab, view),
        "lots": lot_texts(lab, view),
        "forecast": _forecast(lab, view),
        "first_round": clock(first_round_of(view)),
        "tasting_orders": tasting_orders_text(view.table),
        "is_read": is_numbers_read(view),
    }


def live_view(lab: Lab, view: LiveView) -> dict[str, Any]:
    """Return what is polled of a running table, and nothing beside it."""
    poured_at = view.state.poured_at
    return {
        "view": view,
        "table": view.table,
        "flight": view.state.flight,
        "next": next_text(view, numbers_read=is_numbers_read(view)),
        "places": picture(view),
        "seats": [seat_line(line, view) for line in view.seats],
        "helpers": [device_text(each, view.now) for each in view.helpers],
        "tried": tried_text(view),
        "since_s": int((view.now - poured_at).total_seconds()) if poured_at else None,
        "code": spaced(view.code) if view.code else "",
        "run": run_data(view.table, view.state, lab.sheet(view.table.sheet)),
        "facts": " ".join(each["name"] for each in facts_data(view.state)),
    }


def _forecast(lab: Lab, view: HostView) -> dict[str, Any] | None:
    """Give, while the table can still be set otherwise, what it takes and what is in its way."""
    if view.water or view.state.flight not in (FlightState.PLANNED, FlightState.SET):
        return None
    return forecast_view(forecast_table(lab, view.table))


def lot_texts(lab: Lab, view: HostView) -> list[str]:
    """Say, while it can still be mended, which names will be taken for lots of earlier tables."""
    if view.water or view.state.flight not in (FlightState.PLANNED, FlightState.SET):
        return []
    return [
        f"{name} stood at {format_count(count, 'earlier table')}"
        for name, count in known_lots(lab, view.table)
    ]


def duplicate_view(lab: Lab, view: HostView) -> dict[str, Any]:
    """Return whether it can be shown which codes were one coffee, and what is known of it."""
    if view.state.flight != FlightState.CALLED or not may_have_duplicate(lab, view.table):
        return {"can_show_double": False, "doubles": []}
    if view.state.duplicate_shown is None:
        return {"can_show_double": True, "doubles": []}
    return {
        "can_show_double": False,
        "doubles": [
            *(control_text(asdict(each)) for each in control_shown(lab, view.table)),
            *(_twice_text(each) for each in what_stood_twice(lab, view.table)),
        ],
    }


def _twice_text(each: Twice) -> str:
    apart = ", ".join(apart_text(taster, gap) for taster, gap in each.apart)
    return f"{format_list(each.codes)} were one coffee: {apart}."


def cut_off_view(lab: Lab, view: HostView) -> dict[str, Any]:
    """Return the figure that decides, and what became of it."""
    state = view.state
    is_uncovered = state.flight == FlightState.UNCOVERED
    return {
        "title": lab.plugin(view.table.question).question.cut_off_title,
        "now": state.cut_off,
        "moves": [_move_text(move) for move in state.moves],
        "movable": may_follow(state.flight, "cut-off moved"),
        "is_late": state.poured_at is not None,
        "when": "after the names" if is_uncovered else "after the first pour",
    }


def _move_text(move: CutOffMove) -> str:
    late = "after the first pour" if move.is_late else "before the first pour"
    when = "after the names" if move.knew_names else late
    return f"The figure was moved from {points(move.before)} {when}: {move.reason}"


def is_numbers_read(view: LiveView) -> bool:
    """Return whether the numbers under the bowls were read, where they have any."""
    return view.table.is_numbered and any(act.kind == "bowls read" for act in view.found.acts)


def next_text(view: LiveView, *, numbers_read: bool = False) -> str:
    """Return in words the one thing to do now, with a verb.

    Args:  numbers_read: the numbers under the bowls are typed, where there are any.
    """
    first = view.table.places[0].code
    if view.table.is_numbered:
        if view.state.flight == FlightState.PLANNED:
            return "Fill the numbered bowls, then shuffle them dry."
        if view.state.flight == FlightState.CALLED and not numbers_read:
            return "All have called. Wash up, and read the numbers."
    if view.state.flight == FlightState.UNDER_WAY:
        if view.state.broken_at is None:
            return f"Break {first}, first bowl, at {clock(view.table.recipe.steep_s)}."
        verb = "Taste" if view.state.skimmed_at else "Skim"
        return f"{verb}. First round from {clock(first_round_of(view))}."
    return {
        FlightState.PLANNED: "Fill the bowls by the card.",
        FlightState.SET: f"Pour {first}, first bowl.",
        FlightState.HANDED_IN: "All have handed in. Each calls now, before the names.",
        FlightState.CALLED: "All have called. Uncover.",
        FlightState.ABANDONED: "This table was given up.",
    }.get(view.state.flight, "Decide.")


def first_round_of(view: LiveView) -> float:
    """Return when the first place may be tasted, s from the first pour."""
    return min(taste_from_data(view.table, view.state).values())


def picture(view: LiveView) -> list[dict[str, Any]]:
    """Return places with their bowls as drawn; one word for a run of bowls that agree."""
    drawn = iter(view.cups)
    differs = {(each.code, each.cup) for each in deviations_of(view.table, view.state)}
    places: list[dict[str, Any]] = [
        {"code": place.code, "bowls": _bowls(place, states, view, differs)}
        for place in view.table.places
        for states in ([next(drawn) for _ in range(place.cups)],)
    ]
    if _taps_first_bowl(view):
        places[0]["bowls"][0].update(next=True, word="next")
    for place in places:
        place["said"] = bowls_text(place["bowls"])
    return places


def bowls_text(bowls: Sequence[dict[str, Any]]) -> str:
    """Return in words how bowls stand in one line: run by run where they differ.

    >>> bowls_text([{"state": word, "next": False} for word in ("crust", "bare", "bare")])
    '1 crust, 2 to 3 bare'
    """
    words = ["next" if bowl["next"] else bowl["state"] for bowl in bowls]
    runs = [(word, [nth for nth, _ in run]) for word, run in groupby(enumerate(words, 1), _word)]
    told = ", ".join(
        f"{nths[0]} {word}" if len(nths) == 1 else f"{nths[0]} to {nths[-1]} {word}"
        for word, nths in runs
    )
    noted = [f"{nth} {bowl['note']}" for nth, bowl in enumerate(bowls, 1) if bowl.get("note")]
    if len(bowls) == 1:
        noted = [str(bowl["note"]) for bowl in bowls if bowl.get("note")]
    return "; ".join((str(words[0]) if len(runs) == 1 else told, *noted))


def _word(numbered: tuple[int, str]) -> str:
    return numbered[1]


def _bowls(
    place: Place, states: list[CupState], view: LiveView, differs: set[tuple[str, int]]
) -> list[dict[str, Any]]:
    bowls = [
        {
            "nth": nth,
            "id": f"{place.id}.{nth}",
            "drawing": DRAWN[state][0],
            "state": DRAWN[state][1],
            "word": DRAWN[state][1],
            "note": _note(view, place, nth, differs) if state != CupState.SPILT else "",
            "next": False,
        }
        for nth, state in enumerate(states, start=1)
    ]
    for bowl, after in pairwise(bowls):
        if (bowl["state"], bowl["note"]) == (after["state"], after["note"]):
            bowl["word"] = ""
    return bowls


def _note(view: LiveView, place: Place, cup: int, differs: set[tuple[str, int]]) -> str:
    if (place.code, cup) in differs:
        return "differs"
    return "noted" if view.state.bowls.of((place.id, cup)) else ""


def _taps_first_bowl(view: LiveView) -> bool:
    waits_for_break = view.state.flight == FlightState.UNDER_WAY and view.state.broken_at is None
    return view.state.flight == FlightState.SET or waits_for_break


def deciding_view(lab: Lab, view: HostView, form: dict[str, Any]) -> dict[str, Any]:
    """Return a table whose codes have names: evidence, and the verdict or the form for it."""
    words = words_of(lab, view.verdicts[-1] if view.verdicts else None)
    is_decided = view.state.flight == FlightState.DECIDED
    question = lab.plugin(view.table.question).question
    added = added_to(lab, view.table)
    return {
        "table": view.table,
        "seats": [line for line in view.seats if line.admissible or line.view.left_out],
        "admissions": view.admissions,
        "tasters": {line.seat.id: line.seat.taster for line in view.seats},
        "earlier": "" if is_decided else words_text(words),
        "nth": range(1, len(view.verdicts) + 1),
        "title": title_of(view.table),
        "question": question,
        "evidence": Markup(as_piece(evidence_blocks(lab, view.table))),
        "blindness": blindness_texts(plain(blindness_of(lab, view.table, view.found))),
        "subjects": subjects_to_decide(lab, view.table),
        "verdict": words if is_decided else {},
        "said": words_text(words),
        "form": form,
        "cut_off": cut_off_view(lab, view),
        "may_add": question.can(FollowUp) is not None
        and may_see_totals(view.state.flight)
        and added is None,
        "added": added,
        "bowls": format_number(len(view.table.places)),
        "same_lots": lab.plugin(view.table.question).question.can(LotHistory),
        **_beside_taste(lab, view.table),
    }


def _beside_taste(lab: Lab, table: Table) -> dict[str, Any]:
    """Return what was measured and how long a claim can still be made, where that is asked."""
    if not lab.plugin(table.question).question.can(OtherChecks):
        return {"other_checks": None}
    pack = pack_of(lab, table)
    measured = [
        each for each in (limits_text(pack.physicals), old_score_text(pack.physicals)) if each
    ]
    return {"other_checks": True, "measured": measured, "clock": clock_text(pack)}
