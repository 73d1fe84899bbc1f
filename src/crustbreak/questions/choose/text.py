"""The sentences of `choose`: what was decided, what the table answers, what to do next."""

from collections.abc import Mapping, Sequence
from typing import Any

from crustbreak.reports.text import format_count, format_in_100, format_list, format_money

# From this chance on that two coffees lie within what nobody would pay for, they are a tie.
TIE_FROM = 0.8
# From this chance on the better of two is said to be so, as with the cut-off.
RANKED_FROM = 0.8
NOT_RANKED = "so they are not ranked"
# More names than this are counted in a sentence.
MOST_NAMED = 4


def finding_text(said: Sequence[Mapping[str, str]]) -> str:
    """Return in words the decision in one sentence for each word used.

    >>> finding_text([{"subject": "Oskelan 12", "word": "buy"}])
    'Buy Oskelan 12.'
    """
    groups: dict[str, list[str]] = {}
    for each in said:
        groups.setdefault(each["word"], []).append(each["subject"])
    order = sorted(groups, key=("buy", "look again", "decline").index)
    return " ".join(f"{_VERB[word]} {_few(groups[word])}{_AFTER.get(word, '')}." for word in order)


def _few(names: Sequence[str]) -> str:
    # A sentence of a dozen names is read by nobody; the table below names them all.
    return format_list(names) if len(names) <= MOST_NAMED else f"{len(names)} coffees"


_VERB = {"buy": "Buy", "look again": "Taste", "decline": "Decline"}
_AFTER = {"look again": " once more"}


def answer_text(evidence: Mapping[str, Any]) -> str:
    """Return in words what the table answers, in one sentence for each word of the rule.

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
            said.append(sentence.format(_few(names), "lies" if len(names) == 1 else "lie"))
    return " ".join(said) or "No sheet is complete: the table tells nothing."


def next_text(evidence: Mapping[str, Any]) -> str:
    """Return in words whether more tasting is worth its time, and which."""
    following = evidence["next_test"]
    # Earlier evidence knew of no money.
    stakes = following.get("stakes")
    if following["answer"] == "settled" and stakes:
        loss = format_money(following["loss"], stakes["currency"])
        return f"Nothing: a wrong decision costs {loss} on average, less than any test."
    if following["answer"] == "settled":
        return "Nothing: more tasting would hardly change what is decided."
    if following["answer"] == "a tie":
        names = following["tied"]
        lies = "lies" if len(names) == 1 else "lie"
        return (
            f"Nothing: {format_list(names)} {lies} so close to the cut-off that either decision "
            "costs less than anybody would pay to avoid. A tie: decide by price and need."
        )
    if following["answer"] == "test":
        best = following["best"]
        return (
            f"The cheapest test for {_few(best['coffees'])}: {best['say']}, about "
            f"{best['minutes']:.0f} minutes. It is expected to take {_saved_text(best, following)} "
            "off that a wrong decision costs on average."
        )
    names = _few(max((each["coffees"] for each in following["menu"]), key=len))
    enough = (
        "saves what its hours cost"
        if stakes
        else ("takes a fifth off what a wrong decision costs on average")
    )
    return (
        f"Nothing affordable will tell about {names}: no test on the list {enough}. Decide by "
        "price, need and risk."
    )


def _saved_text(best: Mapping[str, Any], following: Mapping[str, Any]) -> str:
    stakes = following.get("stakes")
    if not stakes:
        return f"{best['saved']:.2f} of the {following['regret']:.2f} points"
    gain, loss, cost = (
        format_money(amount, stakes["currency"])
        for amount in (best["gain"], following["loss"], best["cost"])
    )
    return f"{gain} of the {loss}, for {cost} of hours,"


def monetary_value_text(stakes: Mapping[str, Any]) -> str:
    """Return in words how points were made money.

    >>> monetary_value_text({"point_worth": 5.0, "hour_cost": 40.0, "currency": "USD"})
    "In money: a point is worth 5 % of the price, a taster's hour costs USD 40."
    """
    return (
        f"In money: a point is worth {stakes['point_worth']:g} % of the price, a taster's hour "
        f"costs {stakes['currency']} {stakes['hour_cost']:g}."
    )


def drop_text(each: Mapping[str, Any]) -> str:
    """Return in words why the coffee that came out best is expected to come out lower another time.

    >>> drop_text({"drop": 0.3, "bad_bowls": {"found": 0, "cost": 0.3}})
    ': 0.3 less for bad bowls that may yet come'
    """
    if each["bad_bowls"]["found"]:
        return ""
    cost = each["bad_bowls"]["cost"]
    lucky = "because what comes out best was also lucky"
    # Evidence of an earlier version knew of no earlier tables of a lot.
    why = "because its earlier tables count, too" if each.get("before") else lucky
    reasons = ((cost, "for bad bowls that may yet come"), (each["drop"] - cost, why))
    said = [f"{lost:.1f} less {reason}" for lost, reason in reasons if lost >= 0.05]
    return f": {', '.join(said)}" if said else ""


def leaning_text(leaning: float) -> str:
    """Return in words by how much today's tasters give more or less than the lab's scale.

    >>> leaning_text(0.62), leaning_text(-0.3), leaning_text(0.04)
    (" Today's tasters give 0.6 more than that scale.", \
" Today's tasters give 0.3 less than that scale.", '')
    """
    if abs(leaning) < 0.05:
        return ""
    side = "more" if leaning > 0 else "less"
    return f" Today's tasters give {abs(leaning):.1f} {side} than that scale."


def before_text(coffees: Sequence[Mapping[str, Any]]) -> str:
    """Return in words which coffees are known from earlier tables, too; nothing where none is.

    >>> before_text([{"coffee": "Oskelan 12", "before": 1}])
    'Oskelan 12 also stood at 1 earlier table: all its looks and bowls count.'
    """
    stood: dict[int, list[str]] = {}
    for each in coffees:
        if each.get("before"):
            stood.setdefault(each["before"], []).append(each["coffee"])
    return " ".join(
        f"{_few(names)} also stood at {format_count(tables, 'earlier table')}: all "
        f"{'its' if len(names) == 1 else 'their'} looks and bowls count."
        for tables, names in stood.items()
    )


def pair_text(above: str, below: str, *, beats: float, ties: float, within: float) -> str:
    """Return in words how two coffees stand to each other.

    Args:  beats: chance that the first lies over the second. ties: chance that they lie within
           so many points of each other, `within`.

    >>> pair_text("Tarn", "Fen", beats=0.83, ties=0.2, within=0.5)
    'Tarn over Fen: 83 in 100'
    >>> pair_text("Tarn", "Fen", beats=0.55, ties=0.3, within=0.5)
    'Tarn over Fen: 55 in 100, so they are not ranked'
    >>> pair_text("Tarn", "Fen", beats=0.5, ties=0.9, within=0.5)
    'Tarn and Fen: a tie, within 0.5 points of each other with 90 in 100'
    """
    if ties >= TIE_FROM:
        close = f"within {within:g} points of each other with {format_in_100(ties)}"
        return f"{above} and {below}: a tie, {close}"
    said = f"{above} over {below}: {format_in_100(beats)}"
    return said if beats >= RANKED_FROM else f"{said}, {NOT_RANKED}"
