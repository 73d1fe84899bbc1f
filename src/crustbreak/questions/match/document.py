"""The papers of `match`: the host's evidence, and the approval note."""

from collections.abc import Mapping, Sequence
from typing import Any

from crustbreak.questions.match.chart import BowlRow, DifferenceBand, bowls_text, draw_bowls
from crustbreak.questions.match.definition import CANNOT_TELL
from crustbreak.questions.match.text import (
    found_text,
    further_text,
    match_text,
    parted_text,
    ways_text,
    within_text,
)
from crustbreak.reports.blocks import (
    Block,
    Chart,
    Disclosure,
    Grid,
    Heading,
    Items,
    Paper,
    Part,
    Text,
    Words,
    strong,
    words,
)
from crustbreak.reports.sections.physicals import limits_text, old_score_text, physicals_blocks
from crustbreak.reports.sections.record import (
    asked_block,
    day_blocks,
    deviation_blocks,
    record_foot,
    verdict_blocks,
    whole_record,
)
from crustbreak.reports.text import format_count, format_day, format_list

# The end of the sheet's scale.
MOST = 5.0


def match_blocks(evidence: Mapping[str, Any]) -> tuple[Block, ...]:
    """Return the evidence: the sentence, the bowls as a picture, how sure, what to do next."""
    return (
        *_found_blocks(evidence),
        *_call_blocks(evidence),
        *deviation_blocks(evidence),
        Heading("What to do next"),
        Text(words(_next_text(evidence))),
        Disclosure("Bowl by bowl", _bowl_blocks(evidence)),
    )


def approval_note(record: Mapping[str, Any]) -> Paper:
    """Write the approval note from a verdict's kept record, and from nothing else."""
    record = whole_record(record)
    evidence, verdict, table = record["evidence"], record["verdict"], record["table"]
    return Paper(
        kind=record["question"]["document"],
        about=table["occasion"],
        lab=record["lab"],
        day=format_day(verdict["at"]),
        at=verdict["at"],
        finding=match_text(verdict["words"][0]["word"], evidence),
        parts=(
            Part("Asked", (asked_block(record),)),
            Part("Verdict", verdict_blocks(_without_subject(verdict))),
            Part("Found", (*_rule_blocks(record), *_call_blocks(evidence)), wide=True),
            Part("Bowls", (*_bowl_blocks(evidence), *deviation_blocks(evidence)), wide=True),
            *_physicals(record.get("physicals") or {}),
            Part("Next", (Text(words(_next_text(evidence))),)),
            Part("That day", day_blocks(record)),
            Part("Not tested", (_not_tested(),)),
        ),
        signs=(f"{verdict['by']}, decides", "for the tasters"),
        foot=record_foot(record),
    )


def _physicals(physicals: Mapping[str, Any]) -> tuple[Part, ...]:
    """Return in words what was measured, and what an old score leads one to expect; each apart."""
    parts = []
    if blocks := physicals_blocks(physicals):
        said = Text(words(limits_text(physicals)))
        parts.append(Part("Physicals", (said, *blocks), wide=True))
    if old := old_score_text(physicals):
        parts.append(Part("Old score", (Text(words(old)),)))
    return tuple(parts)


def _without_subject(verdict: Mapping[str, Any]) -> dict[str, Any]:
    # One word on one question, which stands above it.
    said = [{**each, "subject": "Decided"} for each in verdict["words"]]
    return {**verdict, "words": said}


def _rule_blocks(record: Mapping[str, Any]) -> tuple[Block, ...]:
    """Return in words what was found; the sentence of the rule where another was decided."""
    evidence = record["evidence"]
    _, *rest = _found_blocks(evidence)
    if record["verdict"]["words"][0]["word"] == evidence["suggestion"]:
        return tuple(rest)
    return (Text(words("By the rule: ", found_text(evidence))), *rest)


def _found_blocks(evidence: Mapping[str, Any]) -> tuple[Block, ...]:
    rows, gap = _rows(evidence), _gap(evidence)
    said = [parted_text(evidence), within_text(evidence), ways_text(evidence)]
    return (
        Text(words(found_text(evidence)), "lead"),
        Chart(
            "Every bowl, by its difference from the open one",
            draw_bowls(rows, gap, most=MOST),
            bowls_text(rows, gap),
        ),
        Text(
            words(
                "Dot: one bowl, the mean of who tasted it. Diamond: how much further off the bowls "
                "compared lie than the control's do, drawn in a little by what is known of the "
                "tasters; its line holds the difference nine times in ten."
            ),
            "small",
        ),
        Items(tuple(words(each) for each in said if each)),
        *(Text(words(each), "warned") for each in evidence["warnings"]),
    )


def _rows(evidence: Mapping[str, Any]) -> list[BowlRow]:
    return [
        BowlRow(
            name=evidence["candidate" if is_new else "control"],
            small="compared" if is_new else "control, blind",
            marks=tuple(
                mean
                for bowl in evidence["bowls"]
                if bowl["is_candidate"] == is_new
                for mean in _mean(bowl["marks"])
            ),
            is_new=is_new,
        )
        for is_new in (False, True)
    ]


def _mean(marks: Sequence[Mapping[str, Any]]) -> list[float]:
    given = [mark["value"] for mark in marks if mark["value"] is not None]
    return [sum(given) / len(given)] if given else []


def _gap(evidence: Mapping[str, Any]) -> DifferenceBand | None:
    sure = evidence["sure"]
    if sure is None:
        return None
    return DifferenceBand(
        within=evidence["within"], mean=sure["mean"], low=sure["low"], high=sure["high"]
    )


def _call_blocks(evidence: Mapping[str, Any]) -> tuple[Block, ...]:
    calls = [f"{call['taster']}: {call['word']}" for call in evidence["calls"] if call["word"]]
    if not calls:
        return ()
    return (Text(words("Called before the names: ", "; ".join(calls), ".")),)


def _bowl_blocks(evidence: Mapping[str, Any]) -> tuple[Block, ...]:
    tasters = list(dict.fromkeys(m["taster"] for bowl in evidence["bowls"] for m in bowl["marks"]))
    is_one = max((bowl["sitting"] for bowl in evidence["bowls"]), default=1) == 1
    rows = tuple(
        (
            words(
                strong(bowl["code"]),
                "" if is_one else f", sitting {bowl['sitting']}",
                f", {evidence['candidate' if bowl['is_candidate'] else 'control']}",
            ),
            *(_marked(bowl["marks"], taster) for taster in tasters),
        )
        for bowl in sorted(evidence["bowls"], key=lambda each: each["is_candidate"])
    )
    notes = tuple(
        words(f"{bowl['code']}, {mark['taster']}: {note}")
        for bowl in evidence["bowls"]
        for mark in bowl["marks"]
        for note in mark["notes"]
    )
    return (
        Grid("Bowl by bowl", ("bowl", *tasters), rows),
        *((Items(notes),) if notes else ()),
    )


def _marked(marks: Sequence[Mapping[str, Any]], taster: str) -> Words:
    mark = next((each for each in marks if each["taster"] == taster), None)
    if mark is None or mark["value"] is None:
        return words("not marked")
    more = [word for word in (mark["direction"], mark["differs"]) if word]
    return words(", ".join((f"{mark['value']:g}", *more)))


def _next_text(evidence: Mapping[str, Any]) -> str:
    if evidence["suggestion"] == CANNOT_TELL:
        return f"{further_text(evidence)} They add to this answer, and its error is kept."
    tasters = format_list(evidence["tasters"])
    whose = "that one taster" if len(evidence["tasters"]) == 1 else "tasters like these"
    return (
        f"A person decides. This is what {tasters or 'nobody'} found in "
        f"{format_count(len(evidence['bowls']), 'bowl')}, and it holds for {whose}."
    )


def _not_tested() -> Text:
    return Text(
        words(
            "An old score takes no part in this comparison. Nothing is said of keeping, of other "
            "bags than those sampled, or of how it tastes with milk. A musty cup would be a reason "
            "for a laboratory test and quarantine, not a clearance. Contracts: yours prevails."
        )
    )
