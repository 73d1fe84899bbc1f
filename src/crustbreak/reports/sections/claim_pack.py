"""The draft of a claim pack: facts and what is missing, for a person to check and sign."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from crustbreak.core.units import utc_text
from crustbreak.domain.records.claims import Claim
from crustbreak.domain.trade.claims import EVIDENCE, OWN, SIDE_BY_SIDE, ClaimDay, Item, Window
from crustbreak.domain.trade.contracts import LATER, Contract
from crustbreak.reports.blocks import Block, Items, Paper, Part, Text, strong, words
from crustbreak.reports.sections.physicals import limits_text, old_score_text, physicals_blocks
from crustbreak.reports.text import format_count

PREVAILS = (
    "Your contract prevails; this is a dated example of a standard one, and how days are counted "
    "is for the contract and for counsel to say."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """What a claim pack is made of.

    coffees:       approved and arrived, as named on the table.
    contract:      the dated example that was chosen; None for one of the lab's own, or none.
    window, day:   None while a day or the contract is missing.
    today, at:     calendar day and moment of the draft.
    missing:       the most pressing first.
    side_by_side:  the table's own note; None before it is decided.
    physicals:     plain data, may be empty.
    """

    lab: str
    occasion: str
    coffees: tuple[str, ...]
    claim: Claim
    contract: Contract | None
    window: Window | None
    day: ClaimDay | None
    today: date
    at: datetime
    missing: tuple[Item, ...]
    side_by_side: Paper | None
    physicals: Mapping[str, Any]


def claim_pack(pack: Pack) -> Paper:
    """Write the draft."""
    return Paper(
        kind="Claim pack, draft",
        about=pack.occasion,
        lab=pack.lab,
        day=format_date(pack.today),
        at=utc_text(pack.at),
        finding=clock_text(pack),
        parts=(
            Part("Coffee", (Text(words(" against ".join(reversed(pack.coffees)), ".")),)),
            Part("Contract", _contract(pack)),
            Part("Side by side", _side_by_side(pack)),
            Part("Physicals", _physicals(pack), wide=True),
            Part("Evidence", _evidence(pack)),
            Part("Still missing", _missing(pack)),
            Part("Before it is sent", _before()),
        ),
        signs=("checked and signed by", "for the buyer"),
        foot=f"Draft of {format_date(pack.today)}. "
        "Facts as they were written down; no legal advice.",
    )


def format_date(day: date) -> str:
    """Return in words a calendar day.

    >>> format_date(date(2031, 3, 4))
    '4 March 2031'
    """
    return f"{day.day} {day:%B %Y}"


def clock_text(pack: Pack) -> str:
    """Return in words where the claim stands in its days, in one sentence or two."""
    if pack.window is None or pack.day is None:
        lacks = "the day of discharge" if pack.claim.discharged is None else "the contract"
        return f"The claim clock does not run yet: {lacks} is not known."
    last, left = format_date(pack.window.last), pack.day.left
    if pack.day.nth < 0:
        begins, ahead = format_date(pack.window.begins), format_count(-pack.day.nth, "day")
        return (
            f"The claim clock begins on {begins}, {ahead} from now; its last day is {last}. "
            "Look once more whether that is the day."
        )
    at = f"Day {pack.day.nth} of {pack.window.days}"
    if left < 0:
        return f"{at}: the last day was {last}, {format_count(-left, 'day')} ago."
    if left == 0:
        return f"{at}: today is the last day."
    return f"{at}: {format_count(left, 'day')} left, the last one is {last}."


def counted_text(pack: Pack) -> str:
    """Return from which day the clock counts, and what it lacks; empty while it does not run."""
    if pack.window is None:
        return ""
    said = f"Counted from {format_date(pack.window.begins)}, which is day 0."
    from_later = (
        pack.claim.own_from == LATER
        if pack.claim.contract == OWN
        else pack.contract is not None and pack.contract.runs_from == LATER
    )
    if from_later and pack.claim.cleared is None:
        said += " That is the discharge; no clearance is written down, and a later one would count."
    return said


def _contract(pack: Pack) -> tuple[Block, ...]:
    claim, said = pack.claim, []
    if pack.contract is not None:
        said.append(f"{pack.contract.title}, {pack.contract.as_of}: {pack.contract.says}.")
        if pack.contract.warns:
            said.append(pack.contract.warns)
    elif claim.contract == OWN:
        said.append(f"Own contract: {claim.own_days} days from {claim.own_from}.")
    else:
        said.append("No contract is chosen yet.")
    if claim.clause:
        said.append(f"Clause: {claim.clause}")
    if claim.discharged:
        said.append(f"Discharged on {format_date(claim.discharged)}.")
    if claim.cleared:
        said.append(f"Cleared on {format_date(claim.cleared)}.")
    if counted := counted_text(pack):
        said.append(counted)
    return (*(Text(words(each)) for each in said), Text(words(PREVAILS), "small"))


def _side_by_side(pack: Pack) -> tuple[Block, ...]:
    note = pack.side_by_side
    if note is None:
        return (Text(words("Not decided yet: the blind table has no verdict."), "warned"),)
    own = pack.claim.said.get(SIDE_BY_SIDE)
    return (
        Text(words(strong(note.finding))),
        Text(words(f"{note.kind} of {note.day}, with control, blind. {note.foot}")),
        *((Text(words(own)),) if own else ()),
    )


def _physicals(pack: Pack) -> tuple[Block, ...]:
    blocks = physicals_blocks(pack.physicals)
    if not blocks:
        return (Text(words("Nothing was measured, or nothing was written down.")),)
    said = [each for each in (limits_text(pack.physicals), old_score_text(pack.physicals)) if each]
    return (*blocks, *(Text(words(each)) for each in said))


def _evidence(pack: Pack) -> tuple[Block, ...]:
    said = [
        words(strong(f"{item.title}: "), pack.claim.said[item.id])
        for item in EVIDENCE
        if item.id in pack.claim.said and item.id != SIDE_BY_SIDE
    ]
    if not said:
        return (Text(words("None is written down yet.")),)
    by = pack.claim.by
    return (
        Items(tuple(said)),
        *((Text(words(f"Written down by {by}."), "small"),) if by else ()),
    )


def _missing(pack: Pack) -> tuple[Block, ...]:
    if not pack.missing:
        return (Text(words("Nothing on the list.")),)
    return (Items(tuple(words(strong(f"{item.title}. "), item.asks) for item in pack.missing)),)


def _before() -> tuple[Block, ...]:
    return (
        Text(
            words(
                "Facts, and no blame. A person checks every figure and signs; legal wording is "
                "counsel's. Local law and the contract prevail. A musty cup calls for a laboratory "
                "test and quarantine. Prices of other suppliers do not belong in here."
            )
        ),
    )
