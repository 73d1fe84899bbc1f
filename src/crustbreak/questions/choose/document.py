"""The papers of `choose`: the host's evidence, and the decision memo."""

from collections.abc import Mapping, Sequence
from typing import Any

from crustbreak.questions.choose.line_blocks import line_blocks, total_blocks
from crustbreak.questions.choose.text import finding_text, next_text
from crustbreak.questions.choose.uncertainty_blocks import (
    bowl_blocks,
    call_blocks,
    calls_of,
    duplicate_blocks,
    found_blocks,
    known_from,
    menu_blocks,
    new_call_blocks,
    order_blocks,
    parting_blocks,
    rule_text,
    terms_of,
    warned_blocks,
)
from crustbreak.reports.blocks import (
    Block,
    Disclosure,
    Grid,
    Heading,
    Paper,
    Part,
    Text,
    strong,
    words,
)
from crustbreak.reports.sections.record import (
    asked_block,
    day_blocks,
    deviation_blocks,
    record_foot,
    verdict_blocks,
    whole_record,
)
from crustbreak.reports.text import format_count, format_day, format_in_100, format_list

# More tasters than this are counted on paper, and not named one by one.
MOST_COLUMNS = 5


def choice_blocks(evidence: Mapping[str, Any]) -> tuple[Block, ...]:
    """Return in words the evidence: a sentence, the pictures, the odds; the lines at the end."""
    evidence = _whole(evidence)
    lines = line_blocks(evidence)
    if evidence["sure"] is None:
        return (*total_blocks(evidence), *deviation_blocks(evidence), *lines)
    return (
        *found_blocks(evidence),
        *order_blocks(evidence),
        *call_blocks(evidence),
        *duplicate_blocks(evidence),
        *new_call_blocks(evidence),
        *bowl_blocks(evidence),
        *deviation_blocks(evidence),
        *parting_blocks(evidence),
        Heading("What to do next"),
        Text(words(next_text(evidence))),
        *menu_blocks(evidence),
        *warned_blocks(evidence),
        known_from(evidence),
        Disclosure("Line by line, with notes and flagged bowls", lines),
    )


def choice_memo(record: Mapping[str, Any]) -> Paper:
    """Write the decision memo from a verdict's kept record, and from nothing else."""
    record = whole_record(record)
    evidence = _whole(record["evidence"])
    verdict, table = record["verdict"], record["table"]
    annex: tuple[Part, ...] = (Part("Line by line", line_blocks(evidence), wide=True),)
    if evidence["sure"]:
        more = (*bowl_blocks(evidence), *menu_blocks(evidence))
        annex = (Part("More of what was found", more, wide=True), *annex)
    return Paper(
        kind=record["question"]["document"],
        about=table["occasion"],
        lab=record["lab"],
        day=format_day(verdict["at"]),
        at=verdict["at"],
        finding=finding_text(verdict["words"]),
        parts=(
            Part("Asked", (asked_block(record),)),
            Part("Verdict", verdict_blocks(verdict)),
            *_memo_found(record, evidence),
            Part("That day", day_blocks(record)),
            Part("Not tested", (_not_tested(evidence),)),
        ),
        signs=(f"{verdict['by']}, decides", "for the tasters"),
        foot=record_foot(record),
        annex=annex,
    )


def _whole(evidence: Mapping[str, Any]) -> dict[str, Any]:
    # What a verdict of an earlier version was given on says nothing of how sure it was.
    return {"sure": None, "suggestions": [], "next_test": None, **evidence}


def _memo_found(record: Mapping[str, Any], evidence: Mapping[str, Any]) -> tuple[Part, ...]:
    if evidence["sure"] is None:
        tasters = format_count(len(record["table"]["tasters"]), "taster")
        how = (
            f"How sure: {evidence['how_sure']}. {tasters} tasted on one day, and each mean is of "
            "the complete sheets of its coffee; they stand in the order of their means, and where "
            "means lie close that order says nothing."
        )
        return (
            Part("How sure", (Text(words(how)),)),
            Part("Found", total_blocks(evidence), wide=True),
        )
    following = (Text(words(next_text(evidence))), *warned_blocks(evidence))
    return (
        Part("Found", (*found_blocks(evidence), *order_blocks(evidence, in_a_row=True)), wide=True),
        Part("Calls and bowls", _decided(record, evidence), wide=True),
        Part("Next", following),
        Part("How it is known", (*parting_blocks(evidence), known_from(evidence))),
    )


def _decided(record: Mapping[str, Any], evidence: Mapping[str, Any]) -> tuple[Block, ...]:
    """Put beside each other what was called, what the rule says and what was decided."""
    word = {each["subject"]: each["word"] for each in record["verdict"]["words"]}
    rule = {each["coffee"]: each["word"] for each in evidence["suggestions"]}
    bad = {each["coffee"]: each["bad_bowls"] for each in evidence["sure"]["coffees"]}
    tasters: Sequence[str] = evidence["tasters"]
    are_named, terms = len(tasters) <= MOST_COLUMNS, terms_of(evidence)
    rows = tuple(
        (
            words(coffee["coffee"]),
            *(words(said) for said in _called(coffee, tasters, are_named=are_named)),
            words(rule.get(coffee["coffee"], "nothing")),
            words(strong(word.get(coffee["coffee"], "none"))),
            words(_bowls(bad[coffee["coffee"]])),
            *((words(terms[coffee["coffee"]] or "no price"),) if terms else ()),
        )
        for coffee in evidence["coffees"]
    )
    named = tuple(tasters) if are_named else ("called by code",)
    offered = ("offered",) if terms else ()
    return (
        Grid(
            "Calls by code, rule, verdict and bad bowls",
            (
                "coffee",
                *named,
                "the rule",
                "verdict",
                "bad bowls",
                *offered,
            ),
            rows,
        ),
        Text(
            words(
                f"Called by code, before the names. The rule: {rule_text(evidence)}. Bad bowls: "
                "found, of those judged; and how many of all its bowls may be tainted or faulty, "
                "at 95 in 100."
            ),
            "small",
        ),
        *duplicate_blocks(evidence),
        *new_call_blocks(evidence),
    )


def _called(coffee: Mapping[str, Any], tasters: Sequence[str], *, are_named: bool) -> list[str]:
    if are_named:
        return calls_of(coffee, tasters)
    calls = [taster["call"] or "none" for taster in coffee["tasters"]]
    return [", ".join(f"{word} {calls.count(word)}" for word in dict.fromkeys(calls))]


def _bowls(bad: Mapping[str, Any]) -> str:
    if not bad["bowls"]:
        return "not judged"
    return f"{bad['found']} of {bad['bowls']}; up to {format_in_100(bad['upper'])}"


def _not_tested(evidence: Mapping[str, Any]) -> Text:
    missing = [
        said
        for said, there in (("no control", "controls"), ("no hidden duplicate", "doubles"))
        if not evidence.get(there)
    ]
    first = f"{format_list(missing).capitalize()} stood on this table. " if missing else ""
    price = "" if terms_of(evidence) else "price, "
    return Text(
        words(
            f"{first}Nothing is said of {price}moisture, keeping or how it "
            "tastes with milk. A musty cup would be a reason for a laboratory test, not a "
            "clearance."
        )
    )
