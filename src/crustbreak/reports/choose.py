"""The papers of `choose`: the host's evidence, and the decision memo."""

from collections.abc import Mapping, Sequence
from typing import Any

from crustbreak.footing.units import clock, points
from crustbreak.reports.blind_said import say_blindness, say_numbered
from crustbreak.reports.bowls_said import say_flags
from crustbreak.reports.choose_lines import line_blocks, total_blocks
from crustbreak.reports.choose_said import say_finding, say_next
from crustbreak.reports.choose_sure import (
    bowl_blocks,
    call_blocks,
    calls_of,
    double_blocks,
    found_blocks,
    known_from,
    menu_blocks,
    new_call_blocks,
    order_blocks,
    parting_blocks,
    say_rule,
    terms_of,
    warned_blocks,
)
from crustbreak.reports.paper import (
    Block,
    Fold,
    Grid,
    Heading,
    Items,
    Paper,
    Part,
    Text,
    strong,
    words,
)
from crustbreak.reports.said import say_count, say_day, say_in_100, say_list, say_moment, say_shares

# More tasters than this are counted on paper, and not named one by one.
MOST_COLUMNS = 5


def show_choice(evidence: Mapping[str, Any]) -> tuple[Block, ...]:
    """Say the evidence: a sentence, the pictures, the odds; the lines at the end."""
    evidence = _whole(evidence)
    lines = line_blocks(evidence)
    if evidence["sure"] is None:
        return (*total_blocks(evidence), *_flag_blocks(evidence), *lines)
    return (
        *found_blocks(evidence),
        *order_blocks(evidence),
        *call_blocks(evidence),
        *double_blocks(evidence),
        *new_call_blocks(evidence),
        *bowl_blocks(evidence),
        *_flag_blocks(evidence),
        *parting_blocks(evidence),
        Heading("What to do next"),
        Text(words(say_next(evidence))),
        *menu_blocks(evidence),
        *warned_blocks(evidence),
        known_from(evidence),
        Fold("Line by line, with notes and flagged bowls", lines),
    )


def choice_memo(record: Mapping[str, Any]) -> Paper:
    """Write the decision memo from a verdict's kept record, and from nothing else."""
    # What a record of an earlier version did not tell had not happened then.
    planned = {"cut_off_planned": record["table"]["cut_off"], "cut_off_moves": []}
    record = {
        "admitted": [],
        "earlier_verdicts": [],
        **record,
        "table": {**planned, **record["table"]},
        "left_out": {"seats": [], "refused": 0, **record["left_out"]},
    }
    evidence = _whole(record["evidence"])
    verdict, table = record["verdict"], record["table"]
    annex: tuple[Part, ...] = (Part("Line by line", line_blocks(evidence), wide=True),)
    if evidence["sure"]:
        more = (*bowl_blocks(evidence), *menu_blocks(evidence))
        annex = (Part("More of what was found", more, wide=True), *annex)
    return Paper(
        kind=record["question"]["document"],
        about=table["occasion"],
        house=record["lab"],
        day=say_day(verdict["at"]),
        at=verdict["at"],
        finding=say_finding(verdict["words"]),
        parts=(
            Part("Asked", (_asked(record),)),
            Part("Verdict", _verdict(verdict)),
            *_memo_found(record, evidence),
            Part("That day", _that_day(record)),
            Part("Not tested", (_not_tested(evidence),)),
        ),
        signs=(f"{verdict['by']}, decides", "for the tasters"),
        foot=_foot(record),
        annex=annex,
    )


def _flag_blocks(evidence: Mapping[str, Any]) -> tuple[Block, ...]:
    # Earlier evidence knew of none, and most tables have none.
    said = say_flags(evidence.get("bowl_flags", ()))
    return (
        (Heading("Bowls that differed"), Items(tuple(words(each) for each in said))) if said else ()
    )


def _whole(evidence: Mapping[str, Any]) -> dict[str, Any]:
    # What a verdict of an earlier version was given on says nothing of how sure it was.
    return {"sure": None, "suggestions": [], "next_test": None, **evidence}


def _asked(record: Mapping[str, Any]) -> Text:
    table = record["table"]
    about = f"{table['occasion']}. " if table["occasion"] else ""
    return Text(
        words(
            f"{record['question']['asks']} {about}{table['cut_off_title']}: {_say_cut_off(table)}"
        )
    )


def _say_cut_off(table: Mapping[str, Any]) -> str:
    fixed, at, late = table["cut_off_planned"], table["planned_at"], []
    for move in table["cut_off_moves"]:
        if move["is_late"]:
            late.append(move)
        else:
            # Nothing was poured yet: what was typed last is what was fixed.
            fixed, at = move["after"], move["at"]
    said = f"{points(fixed)}, fixed on {say_moment(at)}, before the first pour"
    if not late:
        return f"{said}; not moved."
    moved = " ".join(
        f"Moved to {points(move['after'])} on {say_moment(move['at'])}, "
        f"{'after the names' if move['knew_names'] else 'after the first pour, before the names'}: "
        f"{move['reason']}"
        for move in late
    )
    return f"{said}. {moved}"


def _verdict(verdict: Mapping[str, Any]) -> tuple[Block, ...]:
    pieces = [
        piece
        for each in verdict["words"]
        for piece in (f"{each['subject']}: ", strong(each["word"]), ". ")
    ]
    return Text(words(*pieces)), Text(words("Reason: ", verdict["reason"]))


def _memo_found(record: Mapping[str, Any], evidence: Mapping[str, Any]) -> tuple[Part, ...]:
    if evidence["sure"] is None:
        tasters = say_count(len(record["table"]["tasters"]), "taster")
        how = (
            f"How sure: {evidence['how_sure']}. {tasters} tasted on one day, and each mean is of "
            "the complete sheets of its coffee; they stand in the order of their means, and where "
            "means lie close that order says nothing."
        )
        return (
            Part("How sure", (Text(words(how)),)),
            Part("Found", total_blocks(evidence), wide=True),
        )
    following = (Text(words(say_next(evidence))), *warned_blocks(evidence))
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
                f"Called by code, before the names. The rule: {say_rule(evidence)}. Bad bowls: "
                "found, of those judged; and how many of all its bowls may be tainted or faulty, "
                "at 95 in 100."
            ),
            "small",
        ),
        *double_blocks(evidence),
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
    return f"{bad['found']} of {bad['bowls']}; up to {say_in_100(bad['upper'])}"


def _that_day(record: Mapping[str, Any]) -> tuple[Block, ...]:
    left = record["left_out"]
    blind = record.get("blind", {})
    said = [
        _who_tasted(record["table"], blind.get("numbered")),
        _how_poured(record["table"]),
        *say_blindness(blind),
    ]
    if left["late"] or left["set_aside"] or left["refused"]:
        refused = ""
        if left["refused"]:
            refused = f", {left['refused']} of a device that the host did not recognise"
        late = say_count(left["late"], "mark")
        said.append(
            f"Out of the evidence: {late} that came late, {left['set_aside']} set aside{refused}."
        )
    said += [" ".join(say_flags(record["evidence"].get("bowl_flags", ())))]
    said += [f"Left out: {each['taster']}. Reason: {each['reason']}" for each in left["seats"]]
    said += [
        f"Let in on {say_moment(each['at'])}: marks of {each['taster']} made before the hand-in "
        f"that came after the uncovering. Reason: {each['reason']}"
        for each in record["admitted"]
    ]
    earlier = "; ".join(
        f"{each['by']} on {say_moment(each['at'])}, record {_short(each['digest'], 2)}"
        for each in record["earlier_verdicts"]
    )
    if earlier:
        said.append(f"Earlier verdicts of this table, kept as they were: {earlier}.")
    return tuple(Text(words(each)) for each in said if each)


def _who_tasted(table: Mapping[str, Any], numbered: Mapping[str, Any] | None) -> str:
    day = f" on {say_day(table['poured_at'])}" if table["poured_at"] else ""
    if numbered:
        return f"Tasted by {say_list(table['tasters'])}{day}. {say_numbered(table, numbered)}"
    opened = table["key_opened_at"]
    key = "The key was not opened before the uncovering."
    if opened:
        times = "once, on" if len(opened) == 1 else f"{len(opened)} times, on"
        moments = say_list([say_moment(each) for each in opened])
        key = f"{table['setter']} set the table by the key, opened {times} {moments}."
    if table["setter_tasted"] and opened:
        blind = f"{table['setter']} also tasted and so was not blind."
    else:
        uncovered = f" on {say_moment(table['uncovered_at'])}" if table["uncovered_at"] else ""
        blind = f"The tasters saw codes only until the uncovering{uncovered}."
    return f"Tasted by {say_list(table['tasters'])}{day}. {key} {blind}"


def _how_poured(table: Mapping[str, Any]) -> str:
    recipe = table["recipe"]
    shares = f"{say_shares(table['shares'])} " if table.get("shares") else ""
    said = (
        f"{shares}{say_count(table['cups'][0], 'bowl')} a coffee, {recipe['dose_g']:g} g to "
        f"{recipe['water_ml']:g} ml, "
        f"{recipe['steep_s'] / 60:g} minutes planned from pour to break."
    )
    if not table["broken_at"]:
        return f"{said} No break was tapped."
    undone = f" Taps taken back: {table['taps_undone']}." if table["taps_undone"] else ""
    return (
        f"{said} First pour {say_moment(table['poured_at'])}, first break "
        f"{say_moment(table['broken_at'])}, {clock(table['steeped_s'])} later.{undone}"
    )


def _not_tested(evidence: Mapping[str, Any]) -> Text:
    missing = [
        said
        for said, there in (("no control", "controls"), ("no hidden duplicate", "doubles"))
        if not evidence.get(there)
    ]
    first = f"{say_list(missing).capitalize()} stood on this table. " if missing else ""
    price = "" if terms_of(evidence) else "price, "
    return Text(
        words(
            f"{first}Nothing is said of {price}moisture, keeping or how it "
            "tastes with milk. A musty cup would be a reason for a laboratory test, not a "
            "clearance."
        )
    )


def _foot(record: Mapping[str, Any]) -> str:
    sheet = record["sheet"]
    return (
        f"{sheet['title']}, {sheet['ref']}. Crustbreak {record['engine']}. "
        f"Record {_short(record['digest'], 4)}."
    )


def _short(digest: str, groups: int) -> str:
    return " ".join(digest[4 * nth : 4 * nth + 4] for nth in range(groups))
