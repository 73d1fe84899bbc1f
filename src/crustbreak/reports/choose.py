"""The papers of `choose`: the host's page of evidence, and the decision memo."""

from collections.abc import Mapping, Sequence
from math import ceil, floor
from typing import Any

from crustbreak.reports.documents import render, say_list


def show_choice(evidence: Mapping[str, Any]) -> str:
    """Draw the evidence as a piece of HTML: a sentence, the picture, the lines."""
    return render("choose_evidence.html", _facts(evidence))


def choice_memo(record: Mapping[str, Any]) -> str:
    """Write the decision memo from a verdict's kept record, and from nothing else."""
    said = record["verdict"]["words"]
    facts = {
        # What a record of the first version did not tell had not happened then.
        "admitted": [],
        "earlier_verdicts": [],
        **record,
        "left_out": {"seats": [], "refused": 0, **record["left_out"]},
        **_facts(record["evidence"]),
        "finding": say_finding(said),
    }
    return render("choose_memo.html", facts)


def say_finding(words: list[dict[str, str]]) -> str:
    """Say the decision in one sentence for each word used.

    >>> say_finding([{"subject": "Oskelan 12", "word": "buy"}])
    'Buy Oskelan 12.'
    """
    groups: dict[str, list[str]] = {}
    for each in words:
        groups.setdefault(each["word"], []).append(each["subject"])
    order = sorted(groups, key=("buy", "look again", "decline").index)
    return " ".join(
        f"{_VERB[word]} {', '.join(groups[word][:-1])}{' and ' if groups[word][1:] else ''}"
        f"{groups[word][-1]}{_AFTER.get(word, '')}."
        for word in order
    )


_VERB = {"buy": "Buy", "look again": "Taste", "decline": "Decline"}
_AFTER = {"look again": " once more"}


def say_answer(evidence: Mapping[str, Any]) -> str:
    """Say what the table answers, in one sentence for each word of the rule.

    A person decides; what cannot be told is said to be so.
    """
    said = []
    for word, sentence in (
        ("buy", "{} {} over the cut-off."),
        ("look again", "{}: this table cannot tell."),
        ("decline", "{} {} under it."),
    ):
        names = [each["coffee"] for each in evidence["suggestions"] if each["word"] == word]
        if names:
            said.append(sentence.format(say_list(names), "lies" if len(names) == 1 else "lie"))
    return " ".join(said) or "No sheet is complete: the table tells nothing."


def say_next(evidence: Mapping[str, Any]) -> str:
    """Say whether more tasting is worth its time, and which."""
    following = evidence["next_test"]
    if following["answer"] == "settled":
        return "Nothing: more tasting would hardly change what is decided."
    names = say_list(following["menu"][0]["coffees"])
    if following["answer"] == "test":
        best = following["best"]
        return (
            f"The cheapest test for {names}: {best['say']}, about {best['minutes']:.0f} minutes. "
            f"It is expected to take {best['saved']:.2f} of the {following['regret']:.2f} points "
            "off that a wrong decision costs on average."
        )
    return (
        f"Nothing affordable will tell about {names}: no test on the list takes a fifth off what "
        "a wrong decision costs on average. Decide by price, need and risk."
    )


def say_drop(each: Mapping[str, Any]) -> str:
    """Say why the coffee that came out best is expected to come out lower another time.

    >>> say_drop({"drop": 0.3, "bad_bowls": {"found": 0, "cost": 0.3}})
    ': 0.3 less for bad bowls that may yet come'
    """
    if each["bad_bowls"]["found"]:
        return ""
    cost = each["bad_bowls"]["cost"]
    reasons = (
        (cost, "for bad bowls that may yet come"),
        (each["drop"] - cost, "because what comes out best was also lucky"),
    )
    said = [f"{points:.1f} less {why}" for points, why in reasons if points >= 0.05]
    return f": {', '.join(said)}" if said else ""


def draw_ribbon(chances: Sequence[float]) -> str:
    """Draw a ribbon as high as each rank is likely, as the path of an SVG 40 high.

    >>> draw_ribbon([1.0])
    'M0 20L50 1.0L100 20L50 39.0Z'
    """
    at = [(100 * nth + 50, 19 * chance) for nth, chance in enumerate(chances)]
    above = "".join(f"L{x} {20 - half:.1f}" for x, half in at)
    below = "".join(f"L{x} {20 + half:.1f}" for x, half in reversed(at))
    return f"M0 20{above}L{100 * len(chances)} 20{below}Z"


def _facts(evidence: Mapping[str, Any]) -> dict[str, Any]:
    # What a verdict of an earlier version was given on says nothing of how sure it was.
    evidence = {"sure": None, "suggestions": [], "next_test": None, **evidence}
    totals = [
        taster["total"]
        for coffee in evidence["coffees"]
        for taster in coffee["tasters"]
        if taster["total"] is not None
    ]
    for each in evidence["sure"]["coffees"] if evidence["sure"] else ():
        totals += [each["total"]["low"], each["total"]["high"]]
    return {
        "evidence": evidence,
        "ends": _ends([*totals, evidence["cut_off"]]),
        "draw_ribbon": draw_ribbon,
        "say_answer": say_answer,
        "say_drop": say_drop,
        "say_next": say_next,
    }


def _ends(values: list[float]) -> tuple[float, float]:
    """Give whole points around all values, so that every mark lies inside the drawing."""
    return float(floor(min(values)) - 1), float(ceil(max(values)) + 1)
