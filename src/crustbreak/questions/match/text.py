"""The sentences of `match`: what was decided, what the bowls tell, what to do next."""

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

from crustbreak.questions.match.definition import BETTER, CANNOT_TELL, DIFFERENT, SAME, WORSE
from crustbreak.reports.text import format_count, format_in_100, format_list, format_tenth


def match_text(word: str, evidence: Mapping[str, Any]) -> str:
    """Return in words a verdict in one sentence.

    >>> match_text(SAME, {"control": "Tarn", "candidate": "Tarn 2", "within": 1.5})
    'Tarn 2 is the same as Tarn, within 1.5.'
    """
    control, candidate = evidence["control"], evidence["candidate"]
    return {
        SAME: f"{candidate} is the same as {control}, within {evidence['within']:g}.",
        BETTER: f"{candidate} is different from {control}, and better.",
        WORSE: f"{candidate} is different from {control}, and worse.",
        DIFFERENT: f"{candidate} is different from {control}.",
        CANNOT_TELL: f"Whether {candidate} is the same as {control} cannot be told yet.",
    }[word]


def found_text(evidence: Mapping[str, Any]) -> str:
    """Return in words what the bowls tell by the rule, in one sentence; a person decides."""
    word = evidence["suggestion"]
    if word == CANNOT_TELL:
        return f"These bowls cannot tell. {further_text(evidence)}"
    return match_text(word, evidence)


def further_text(evidence: Mapping[str, Any]) -> str:
    """Return in words how many more bowls would settle it."""
    if evidence["difference"] is None:
        return "Not one bowl of each coffee was marked by the same taster."
    more = evidence["more"]
    if more is None:
        return (
            "Not even four more sittings by these tasters would settle it 8 times in 10, if what "
            "was found is the truth: it lies too near to d, or the marks are too uneven. Ask "
            "another taster."
        )
    return (
        f"{more} more bowls would settle it about 8 times in 10 or more "
        "often, if what was found is the truth."
    )


def parted_text(evidence: Mapping[str, Any]) -> str:
    """Return in words how far the bowls part, and how often they would by luck."""
    gap = evidence["difference"]
    if gap is None:
        return ""
    away = "further from the open bowl than" if gap >= 0 else "nearer to the open bowl than"
    held = ""
    if evidence["low"] is not None and evidence["high"] is not None:
        held = (
            f"; {evidence['low']:.1f} to {evidence['high']:.1f} by the ways to stand, each side "
            f"wrong at most {_level_text(evidence['level'])}"
        )
    return (
        f"{evidence['candidate']} lies {abs(gap):.1f} {away} the control does when it stands "
        f"blind{held}. {_luck_text(evidence)} A false \u201cdifferent\u201d may come "
        f"{_level_text(evidence['level'])} on this {_nth(evidence['look'])} look, and at most "
        f"{_level_text(1 - evidence['certainty'])} however many bowls follow."
    )


def _luck_text(evidence: Mapping[str, Any]) -> str:
    chance, ways = evidence["chance"], evidence["ways"]
    if not evidence["is_exact"]:
        return f"By luck alone they would part so far {format_in_100(chance)} (drawn, not counted)."
    times = round(chance * ways)
    return f"By luck alone they would part so far in {times:,} of {ways:,} ways to stand."


def _level_text(level: float) -> str:
    """Return in words a rate as one in so many.

    >>> _level_text(0.05), _level_text(0.0125)
    ('once in 20', 'once in 80')
    """
    return f"once in {round(1 / level):,}"


def _nth(look: int) -> str:
    return {1: "first", 2: "second", 3: "third", 4: "fourth", 5: "fifth"}.get(look, f"{look}th")


def within_text(evidence: Mapping[str, Any]) -> str:
    """Return in words how surely the difference lies within d, and whose difference it is."""
    sure = evidence["sure"]
    if sure is None:
        return ""
    own = evidence["own_error"]
    error = "" if own is None else f" One bowl by one taster gives or takes {own['mean']:.1f}."
    return (
        f"{_capital(evidence['whose'])}, the difference is {format_tenth(sure['mean'])}, with nine "
        f"in "
        f"ten {format_tenth(sure['low'])} to {format_tenth(sure['high'])}: within "
        f"{evidence['within']:g} "
        f"with {format_in_100(evidence['within_chance'])}. \u201cSame\u201d is said from "
        f"{format_in_100(evidence['claimed'])} on, on this look.{_small_text(evidence)}{error}"
    )


def _small_text(evidence: Mapping[str, Any]) -> str:
    """Return that what is called the same is not alike.

    Where luck would part it so far too rarely.
    """
    is_there = evidence["chance"] is not None and evidence["chance"] <= evidence["level"]
    if evidence["suggestion"] != SAME or not is_there:
        return ""
    return " A difference is there, and it is smaller than d."


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def ways_text(evidence: Mapping[str, Any]) -> str:
    """Return in words which way the bowls that differ do, and in what most."""
    new = _said_of(evidence, is_candidate=True)
    old = _said_of(evidence, is_candidate=False)
    ways = Counter(mark["direction"] for mark in new if mark["direction"])
    if not new:
        return "No bowl of it was found to differ."
    counted = [f"{ways[way]} {way}" for way in ("better", "worse", "neither") if ways[way]]
    which = format_list(counted) or "no way was given"
    said = f"Of {format_count(len(new), 'mark')} by which it differs: {which}"
    most = Counter(mark["differs"] for mark in new if mark["differs"]).most_common()
    lies = f"; most of all in {_counts_text(most)}" if most else ""
    beside = f" The blind control got {format_count(len(old), 'mark')} above 0, too." if old else ""
    return f"{said}{lies}.{beside}"


def _counts_text(counts: Sequence[tuple[str, int]]) -> str:
    return format_list([f"{word} ({times})" for word, times in counts])


def _said_of(evidence: Mapping[str, Any], *, is_candidate: bool) -> list[Mapping[str, Any]]:
    return [
        mark
        for bowl in evidence["bowls"]
        if bowl["is_candidate"] == is_candidate
        for mark in bowl["marks"]
        if mark["value"]
    ]
