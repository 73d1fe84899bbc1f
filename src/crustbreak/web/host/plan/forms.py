"""What the host types, kept as typed until it can be used."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from fastapi import Request

from crustbreak.analysis.detectable_difference import DetectableDifference
from crustbreak.analysis.forecast import Forecast
from crustbreak.core.errors import Problem
from crustbreak.core.units import points
from crustbreak.domain.planning.plan_request import MOST_PEOPLE, PlanDraft, Terms
from crustbreak.domain.question import Question
from crustbreak.domain.records.asked import Asked
from crustbreak.domain.records.tables import Table
from crustbreak.domain.sheets.definition import Sheet
from crustbreak.exchange.name_lists import read_names, read_offers
from crustbreak.ports.lab import Lab
from crustbreak.reports.plan_fields import PlanContext, PlanField
from crustbreak.services.lab.protocols import offered_protocols
from crustbreak.services.lab.settings import lab_settings_of
from crustbreak.services.planning.bowl_counts import bowls_of
from crustbreak.services.planning.forecast import recipe_of
from crustbreak.services.planning.power import detectable_texts, forecast_texts
from crustbreak.services.planning.screening import Offer, offer_of, one_table_of
from crustbreak.services.results.dataset import LOT_DAYS
from crustbreak.services.tables.views import last_planned
from crustbreak.web.host.plan.conditions import (
    BESIDE_FIELDS,
    conditions_view,
    read_conditions,
    usual_conditions,
)
from crustbreak.web.host.plan.forecast import forecast_view
from crustbreak.web.http.numbers import read_number

# Coffees that are asked for one by one are numbered from 1.
ONE_BY_ONE = re.compile(r"coffee_[1-9]")
# What every question asks; its own fields come from its folder.
FIELDS = (
    *("occasion", "tasters", "cut_off", "setter", "protocol", "balanced", "numbered", "people"),
    *("once", "follows"),
    *BESIDE_FIELDS,
)

PEOPLE = range(1, MOST_PEOPLE + 1)


def read_plan(typed: Mapping[str, str], asked: type[Asked] = Asked) -> PlanDraft:
    """Read the plan form; what cannot be read is None and found by the check.

    Args:  asked: what the question asks beside the rest.
    """
    offers = _offers_typed(typed)
    return PlanDraft(
        occasion=typed.get("occasion", "").strip(),
        coffees=tuple(name for name, _, _ in offers),
        terms=tuple(terms for _, terms, _ in offers),
        order_classes=tuple(order_class for _, _, order_class in offers),
        fully_random=bool(typed.get("fully_random")),
        tasters=read_names(typed.get("tasters", "")),
        cut_off=read_number(typed.get("cut_off", "")),
        setter=typed.get("setter", "").strip(),
        duplicate=bool(typed.get("double")),
        controls=read_names(typed.get("control", "")),
        protocol=typed.get("protocol", ""),
        numbered=typed.get("numbered") == "yes",
        bowls=_read_count(typed.get("bowls", "")),
        share=_read_count(typed.get("share", "").strip()),
        people=_read_people(typed.get("people", "1")),
        conditions=read_conditions(typed),
        balanced=bool(typed.get("balanced")),
        asked=asked.read(typed),
        follows=typed.get("follows", ""),
    )


def plan_asked(lab: Lab, question_id: str, typed: Mapping[str, str]) -> PlanDraft:
    """Read the plan form of a question; NotThere for an unknown one."""
    return read_plan(typed, lab.plugin(question_id).question.asked)


def _offers_typed(typed: Mapping[str, str]) -> Sequence[tuple[str, Terms, int]]:
    if typed.get("coffees", ""):
        return read_offers(typed["coffees"])
    # One by one there is a name in each field and nothing else, whatever signs are in it.
    apart = (
        " ".join(typed[field].split()) for field in sorted(typed) if ONE_BY_ONE.fullmatch(field)
    )
    return [(name, Terms(), 1) for name in apart if name]


def _read_count(text: str) -> int | None:
    # What is no number is none of those that can be chosen, and is said to be so.
    return (int(text) if re.fullmatch(r"[0-9]{1,3}", text) else 0) if text else None


def _read_people(text: str) -> int | None:
    number = read_number(text)
    return int(number) if number is not None and number in PEOPLE else None


async def read_form(request: Request) -> dict[str, str]:
    """Return the texts of a form by the names of their fields."""
    # A file that came along is in nobody's form, and is let go with it.
    async with request.form() as form:
        return {_whole(name): _whole(text) for name, text in form.items() if isinstance(text, str)}


def _whole(text: str) -> str:
    # A form in a charset of its own can carry half a sign, which no page could show again.
    return text.encode("utf-8", "replace").decode("utf-8")


def blank_plan(
    lab: Lab,
    question_id: str,
    *,
    typed: Mapping[str, str] | None = None,
    problems: tuple[Problem, ...] = (),
    forecast: Forecast | None = None,
) -> dict[str, Any]:
    """Return what the plan page shows: the last table's people, or what was typed."""
    question = lab.plugin(question_id).question
    if typed is None:
        last, known = last_planned(lab)
        tasters = [seat.taster for table in last for seat in table.seats]
        typed = {
            "once": lab.randomness.secret(),
            "tasters": "\n".join(tasters),
            "setter": last[0].setter if last else "",
            "numbered": "yes" if last and last[0].is_numbered else "",
            "control": "\n".join(coffee.name for coffee in known if coffee.is_control),
            "cut_off": points(_last_cut_off(last, question)),
            "protocol": lab_settings_of(lab).protocol,
            "people": str(last[0].people if last else 1),
            **usual_conditions(),
        }
    # Of a list that is too long for one table, the largest of its flights.
    asked = plan_asked(lab, question_id, typed)
    draft = one_table_of(lab, question_id, asked)
    bowls = bowls_of(lab, question_id, draft)
    # Before anything is typed, for as many as a table of five bowls each often has.
    coffees = min(len(draft.coffees), question.most_coffees) or min(5, question.most_coffees)
    fields = lab.plugin(question_id).plan_fields(_context(lab, question, draft, typed))
    return {
        "question": question,
        "coffees": coffees,
        "bowls": bowls,
        "fields": fields,
        "bowls_text": question.layout.text(bowls, opened=question.open_places),
        "sheet": lab.sheet(question.sheet),
        "anchors": _anchors_text(lab.sheet(question.sheet)),
        "told": forecast_texts(lab, question_id, draft),
        "recipe": recipe_of(lab, typed.get("protocol", "")),
        "protocols": offered_protocols(lab, chosen=typed.get("protocol", "")),
        "forecast": forecast_view(forecast),
        "conditions": conditions_view(typed),
        "people": [str(each) for each in PEOPLE],
        "differs": _differs(typed, fields, lab_settings_of(lab).protocol),
        "looked": False,
        "typed": {name: typed.get(name, "") for name in (*FIELDS, *(each.name for each in fields))},
        "problems": problems,
        "offer": offer_data(offer_of(lab, question_id, asked)),
        "detectable_difference": _gaps(lab, question, coffees=coffees, bowls=bowls),
    }


def _gaps(
    lab: Lab, question: Question, *, coffees: int, bowls: int
) -> tuple[DetectableDifference, ...]:
    # Points by how many tasters: not of a question whose bowls say beforehand what they find.
    if lab.plugin(question.id).forecast:
        return ()
    return detectable_texts(lab, question.id, coffees=coffees, bowls=bowls)


def _anchors_text(sheet: Sheet) -> str:
    """Return what the points of a sheet with one scored line mean; nothing of a longer one."""
    if len(sheet.scored) != 1:
        return ""
    return ", ".join(f"{point:g} {word}" for point, word in sorted(sheet.scored[0].anchors.items()))


def _context(
    lab: Lab, question: Question, draft: PlanDraft, typed: Mapping[str, str]
) -> PlanContext:
    return PlanContext(
        currency=lab_settings_of(lab).currency,
        lot_days=LOT_DAYS,
        cups=lab.sheet(question.sheet).cups,
        in_time=bowls_of(lab, question.id, replace(draft, bowls=None)),
        is_begun=bool(typed.get("coffees")),
        follows=bool(typed.get("follows")),
    )


def _differs(typed: Mapping[str, str], fields: Sequence[PlanField], protocol: str) -> bool:
    """Return whether anything is asked that most tables go without, so that it is seen at once."""
    usual = {"people": "1", "protocol": protocol}
    own = (each.name for each in fields if each.part == "pouring")
    names = ("people", "protocol", "balanced", *own)
    return any(typed.get(name) and typed[name] != usual.get(name) for name in names)


def offer_data(offer: Offer | None) -> dict[str, Any] | None:
    """Return in words how a long list would be looked at; nothing for one that a table takes."""
    if offer is None:
        return None
    least, most = min(offer.sizes), max(offer.sizes)
    return {
        "coffees": sum(offer.sizes),
        "flights": len(offer.sizes),
        "each": f"{most}" if least == most else f"{least} {_between(least, most)} {most}",
        "by_class": offer.by_class,
        "bridged": offer.bridged,
    }


def _between(least: int, most: int) -> str:
    return "or" if most - least == 1 else "to"


def _last_cut_off(last: Sequence[Table], question: Question) -> float:
    """Return what decided last time on the same question, or what it begins with."""
    before = (table.cut_off for table in last if table.question == question.id)
    return next(before, question.cut_off)


def blank_verdict(
    *,
    typed: Mapping[str, str] | None = None,
    words: Mapping[str, str] | None = None,
    problems: tuple[Problem, ...] = (),
) -> dict[str, Any]:
    """Return what the verdict form shows: nothing chosen, or what was typed."""
    typed = typed or {}
    return {
        "words": dict(words or {}),
        "reason": typed.get("reason", ""),
        "decided_by": typed.get("decided_by", ""),
        "next_step": typed.get("next_step", ""),
        "problems": problems,
    }
