"""The papers of `choose`: the host's page of evidence, and the decision memo."""

from collections.abc import Mapping
from math import ceil, floor
from typing import Any

from crustbreak.reports.documents import render


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


def _facts(evidence: Mapping[str, Any]) -> dict[str, Any]:
    totals = [
        taster["total"]
        for coffee in evidence["coffees"]
        for taster in coffee["tasters"]
        if taster["total"] is not None
    ]
    return {"evidence": evidence, "ends": _ends([*totals, evidence["cut_off"]])}


def _ends(values: list[float]) -> tuple[float, float]:
    """Give whole points around all values, so that every mark lies inside the drawing."""
    return float(floor(min(values)) - 1), float(ceil(max(values)) + 1)
