"""What the papers of `choose` show of how sure the table is, block by block."""

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any

from crustbreak.core.units import points
from crustbreak.questions.choose.line_blocks import ratings_in
from crustbreak.questions.choose.text import (
    NOT_RANKED,
    answer_text,
    before_text,
    drop_text,
    leaning_text,
    monetary_value_text,
    pair_text,
)
from crustbreak.reports.blocks import Block, Chart, Grid, Heading, Items, Text, Words, strong, words
from crustbreak.reports.charts.intervals import Range, range_chart
from crustbreak.reports.charts.ranks import draw_ranks, rank_lines
from crustbreak.reports.sections.controls import control_text, duplicate_text, stood_text
from crustbreak.reports.text import (
    format_count,
    format_in_100,
    format_list,
    format_money,
    format_tenth,
    format_terms,
)

# More pairs than this are left to the picture, but for those that are told apart.
MOST_PAIRS = 5
# More coffees than this have their bad bowls in a table.
MOST_SAID = 6
INTERVAL = ("mean", "low", "high", "inner_low", "inner_high")


def found_blocks(evidence: Mapping[str, Any]) -> tuple[Block, ...]:
    sure = evidence["sure"]
    found = {each["coffee"]: each for each in evidence["coffees"]}
    rows = [_range(each, found[each["coffee"]]) for each in sure["coffees"]]
    best = next((each for each in sure["coffees"] if each["drop"] is not None), None)
    drop = ""
    # Earlier evidence knew of no scale but that of the tasters themselves.
    leaning = sure.get("leaning", 0.0)
    if best is not None:
        again = best["total"]["mean"] + leaning
        drop = (
            f" The sheets of {best['coffee']} average {format_tenth(again + best['drop'])}; tasted "
            f"again, expect {format_tenth(again)}{drop_text(best)}.{leaning_text(leaning)}"
        )
    before = before_text(sure["coffees"])
    legend = (
        "Box: the middle half. Line: nine in ten. Both are filled over the cut-off. Dot: the "
        f"mean. Short strokes below: the tasters' own totals. Points {sure['scale']}.{drop}"
    )
    return (
        Text(words(answer_text(evidence)), "lead"),
        range_chart("Each coffee's total, and how sure it is", rows, evidence),
        Text(words(legend), "small"),
        *((Text(words(before)),) if before else ()),
    )


def _range(each: Mapping[str, Any], found: Mapping[str, Any]) -> Range:
    # Two codes leave no room for more words.
    small = found["code"] if " and " in found["code"] else stood_text(found["code"])
    if not found["total"]:
        return Range(name=each["coffee"], small=small, mean=None)
    sheets = "sheet" if found["total"]["count"] == 1 else "sheets"
    return Range(
        name=each["coffee"],
        small=f"{small}; {sheets} {points(found['total']['mean'])}",
        over=each["over"],
        ratings=ratings_in(found),
        **{
            name: each["total"][name] for name in ("mean", "low", "high", "inner_low", "inner_high")
        },
    )


def order_blocks(evidence: Mapping[str, Any], *, in_a_row: bool = False) -> tuple[Block, ...]:
    coffees = evidence["sure"]["coffees"]
    if len(coffees) < 2:
        return ()
    ranks = {each["coffee"]: each["ranks"] for each in coffees}
    pairs = _pairs(evidence)
    if len(pairs) > MOST_PAIRS:
        pairs = _ranked(pairs)
    said: Block = Items(tuple(words(pair, ".") for pair in pairs))
    if in_a_row:
        said = Text(words("; ".join(pairs[:MOST_PAIRS]), "."))
    return (
        Heading("In which order", "as high as it is likely; chances in 100"),
        Chart("How likely each rank is", draw_ranks(ranks), rank_lines(ranks)),
        said,
    )


def _pairs(evidence: Mapping[str, Any]) -> list[str]:
    sure = evidence["sure"]
    names = [each["coffee"] for each in sure["coffees"]]
    return [
        pair_text(
            above,
            below,
            beats=sure["beats"][nth][nth + 1],
            ties=sure["ties"][nth][nth + 1],
            within=sure["indifferent"],
        )
        for nth, (above, below) in enumerate(pairwise(names))
    ]


def _ranked(pairs: Sequence[str]) -> list[str]:
    told = [pair for pair in pairs if not pair.endswith(NOT_RANKED)]
    left = len(pairs) - len(told)
    if not told:
        return [f"None of the {left} pairs of neighbours can be ranked"]
    others = "1 other pair of neighbours" if left == 1 else f"{left} other pairs of neighbours"
    return [*told, f"{others} cannot be ranked"] if left else told


def rule_text(evidence: Mapping[str, Any]) -> str:
    buy, decline = evidence["rule"]
    return f"buy from {format_in_100(buy)} over the cut-off, decline to {format_in_100(decline)}"


def call_blocks(evidence: Mapping[str, Any]) -> tuple[Block, ...]:
    rule = {each["coffee"]: each["word"] for each in evidence["suggestions"]}
    terms = terms_of(evidence)
    return (
        Heading(
            "Calls by code", f"before the names, and what the rule says: {rule_text(evidence)}"
        ),
        Grid(
            "Calls by code",
            ("coffee", *evidence["tasters"], "the rule says", *(("offered",) if terms else ())),
            tuple(
                (
                    words(coffee["coffee"]),
                    *(words(said) for said in calls_of(coffee, evidence["tasters"])),
                    words(strong(rule.get(coffee["coffee"], "nothing"))),
                    *((words(terms[coffee["coffee"]] or "no price"),) if terms else ()),
                )
                for coffee in evidence["coffees"]
            ),
        ),
    )


def calls_of(coffee: Mapping[str, Any], tasters: Sequence[str]) -> list[str]:
    """Return each taster's call of a coffee; both where it stood under two codes."""
    return [
        " / ".join(each["call"] or "none" for each in coffee["tasters"] if each["taster"] == taster)
        or "none"
        for taster in tasters
    ]


def duplicate_blocks(evidence: Mapping[str, Any]) -> tuple[Block, ...]:
    """Return how the control came out, and how alike a coffee was tasted under two codes."""
    # Earlier evidence knew of neither.
    said = [words(control_text(each)) for each in evidence.get("controls", ())]
    said += [words(duplicate_text(each)) for each in evidence.get("doubles", ())]
    return (Items(tuple(said)),) if said else ()


def new_call_blocks(evidence: Mapping[str, Any]) -> tuple[Block, ...]:
    """Return in words which calls were changed once the names were known, and why."""
    said = [
        words(
            f"{taster['taster']} called {coffee['coffee']} {taster['call'] or 'nothing'} by code, "
            "and since the names are known ",
            strong(each["word"]),
            f": {each['reason']}",
        )
        for coffee in evidence["coffees"]
        for taster in coffee["tasters"]
        # Earlier evidence knew of none.
        for each in taster.get("new_calls", ())
    ]
    return (Items(tuple(said)),) if said else ()


def bowl_blocks(evidence: Mapping[str, Any]) -> tuple[Block, ...]:
    coffees = evidence["sure"]["coffees"]
    if len(coffees) > MOST_SAID:
        return (Heading("Bad bowls", "tainted or faulty"), _bad_grid(coffees))
    return (
        Heading("Bad bowls"),
        Items(tuple(_bad_words(each) for each in coffees)),
    )


def _bad_grid(coffees: Sequence[Mapping[str, Any]]) -> Grid:
    return Grid(
        "Bad bowls: found, of those judged; and how many of all its bowls may be so, at 95 in 100",
        ("coffee", "found", "up to", "were none missed"),
        tuple(
            (
                words(each["coffee"]),
                words(f"{bad['found']} of {bad['bowls']}" if bad["bowls"] else "not judged"),
                words(format_in_100(bad["upper"]) if bad["bowls"] else ""),
                words(format_in_100(bad["exact_upper"]) if bad["bowls"] else ""),
            )
            for each in coffees
            for bad in (each["bad_bowls"],)
        ),
        shown=True,
    )


def _bad_words(each: Mapping[str, Any]) -> Words:
    bad = each["bad_bowls"]
    if not bad["bowls"]:
        return words(f"{each['coffee']}: not judged by anyone.")
    return words(
        f"{each['coffee']}: {bad['found'] or 'none'} of {bad['bowls']} bowls tainted or faulty. "
        "Of all its bowls up to ",
        strong(format_in_100(bad["upper"])),
        f" may be so (at 95 in 100; {format_in_100(bad['exact_upper'])} for a reader who assumes "
        "nothing, were no fault missed).",
    )


def parting_blocks(evidence: Mapping[str, Any]) -> tuple[Block, ...]:
    if not evidence["sure"]["partings"]:
        return ()
    said = []
    for each in evidence["sure"]["partings"]:
        side = "higher" if each["points"] > 0 else "lower"
        said.append(
            words(
                f"{each['taster']} has {each['coffee']} ",
                strong(f"{abs(each['points']):.1f} points {side}"),
                " than the rest of the table would lead one to expect.",
            )
        )
    note = "worth a word, or a look at that bowl"
    return (Heading("Where tasters part", note), Items(tuple(said)))


def menu_blocks(evidence: Mapping[str, Any]) -> tuple[Block, ...]:
    following = evidence["next_test"]
    if not following or not following["menu"]:
        return ()
    stakes = following.get("stakes")
    every = max((each["coffees"] for each in following["menu"]), key=len)
    more = ("its hours",) if stakes else ()
    grid = Grid(
        f"Tests that were weighed for {format_list(every)}",
        ("tested", "about", "regret saved", *more),
        tuple(
            (
                words(each["say"]),
                words(f"{each['minutes']:.0f} min"),
                *(words(said) for said in _gain_cells(each, following)),
            )
            for each in following["menu"]
        ),
        shown=True,
    )
    return (grid, Text(words(monetary_value_text(stakes)), "small")) if stakes else (grid,)


def _gain_cells(each: Mapping[str, Any], following: Mapping[str, Any]) -> tuple[str, ...]:
    if not following.get("stakes"):
        return (f"{each['saved']:.2f} of {following['regret']:.2f}",)
    currency = following["stakes"]["currency"]
    gain, loss = (format_money(figure, currency) for figure in (each["gain"], following["loss"]))
    return f"{gain} of {loss}", format_money(each["cost"], currency)


def terms_of(evidence: Mapping[str, Any]) -> dict[str, str]:
    """Return of each coffee at what price how much is offered; empty where nobody said of any."""
    # Earlier evidence knew of no prices.
    said = {
        each["coffee"]: format_terms(
            each.get("price"), each.get("kilos"), evidence.get("currency", "")
        )
        for each in evidence["coffees"]
    }
    return said if any(said.values()) else {}


def warned_blocks(evidence: Mapping[str, Any]) -> tuple[Block, ...]:
    return tuple(Text(words(each), "warned") for each in evidence["sure"]["warnings"])


def known_from(evidence: Mapping[str, Any]) -> Text:
    sure = evidence["sure"]
    spreads = "".join(
        f"{each['source'].capitalize()}: {format_tenth(each['size']['mean'])} points "
        f"({format_tenth(each['size']['low'])} to {format_tenth(each['size']['high'])}). "
        for each in sure["sources"]
    )
    if sure["tables_before"]:
        tables = format_count(sure["tables_before"], "earlier table")
        known = f" and {sure['looks_before']} at {tables}."
    else:
        priors = sure["priors"]
        known = (
            " and what is assumed before the first table "
            f"(priors {priors['id']}/{priors['version']}, our judgement)."
        )
    return Text(words(f"{spreads}Known from {sure['looks']} looks today{known}"), "small")
