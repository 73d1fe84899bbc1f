"""How long a claim can still be made, and what it has to show."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from crustbreak.core.errors import Problem, told
from crustbreak.domain.records.claims import Claim
from crustbreak.domain.trade.contracts import DISCHARGE, LATER, MOST_DAYS, RUNS_FROM, Contract

OWN = "own"
# Items that the table itself shows: once it is decided, and once both ends are written down.
SIDE_BY_SIDE, AT_BOTH_ENDS = "side_by_side", "moisture"
NOTE_LENGTH = 500
# Beyond these a day is a slip of the finger, and a window may not end within the calendar.
FIRST_DAY, LAST_DAY = date(1990, 1, 1), date(2199, 12, 31)


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One thing that a claim has to show.

    asks:  what to write down of it.
    """

    id: str
    title: str
    asks: str


# The most pressing first: what is lost when bags move comes before what can be written later.
# Common practice, no source.
EVIDENCE = (
    Item(
        id="unmoved",
        title="Goods unmoved",
        asks="Where they stand, and since when; bags that move can end a claim.",
    ),
    Item(
        id="samples",
        title="Samples, drawn and sealed",
        asks="How many bags, by whom, witness, seal numbers.",
    ),
    Item(
        id="notice",
        title="Notice to the seller",
        asks="On which day, to whom, and how.",
    ),
    Item(
        id="photos",
        title="Photos",
        asks="Of container, seal, bags, marks, stains; where they are kept.",
    ),
    Item(
        id="marks",
        title="Marks and bags, container and seal",
        asks="As on the papers and as found: ICO marks, count, numbers.",
    ),
    Item(
        id=AT_BOTH_ENDS,
        title="Moisture and water activity at both ends",
        asks="By which meter; the figures stand under physicals.",
    ),
    Item(
        id=SIDE_BY_SIDE,
        title="Blind side by side with the approved sample",
        asks="This table, once it is decided.",
    ),
    Item(
        id="bad_cups",
        title="Bad cups",
        asks="How many of how many, at which tasting, and what was wrong with them.",
    ),
    Item(
        id="loss",
        title="Loss, and what is asked",
        asks="An allowance of so much, a replacement, another remedy.",
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """The days of a claim: day 0 and the last one, both calendar days."""

    begins: date
    last: date

    @property
    def days(self) -> int:
        """How many days it has."""
        return (self.last - self.begins).days


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimDay:
    """Where a day stands in a window.

    nth:   0 is the day that it runs from.
    left:  days after this one; 0 on the last, less than 0 once it is over.
    """

    nth: int
    left: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimDraft:
    """A claim as typed; a day that is none, or a number, is the text that was typed.

    discharged, cleared:  as a date field gives them, such as 2031-03-04; may be empty.
    """

    discharged: str
    cleared: str
    contract: str
    own_days: str
    own_from: str
    clause: str
    said: Mapping[str, str]
    by: str


def check_claim(draft: ClaimDraft, contracts: Mapping[str, Contract]) -> tuple[Problem, ...]:
    """Name everything that keeps a claim from being written down; most of it may stay empty."""
    problems = [
        *_check_day("Discharged on", draft.discharged),
        *_check_day("Cleared on", draft.cleared),
    ]
    discharged, cleared = _day(draft.discharged), _day(draft.cleared)
    if discharged and cleared and cleared < discharged:
        rule, found = "not before the discharge", draft.cleared
        problems.append(_problem("Cleared on", rule, found, "Look at the papers once more."))
    if draft.contract not in ("", OWN, *contracts):
        rule = f"one of: {', '.join((OWN, *contracts))}"
        problems.append(_problem("Contract", rule, told(draft.contract), "Choose one of them."))
    if draft.contract == OWN and _count(draft.own_days) is None:
        rule = f"a whole number of days from 1 to {MOST_DAYS}"
        found = told(draft.own_days)
        problems.append(_problem("Days of your contract", rule, found, "Read the clause."))
    if draft.own_from not in RUNS_FROM:
        rule = f"one of: {', '.join(RUNS_FROM)}"
        problems.append(_problem("It runs from", rule, told(draft.own_from), "Choose one."))
    texts = [("Clause", draft.clause), ("Written down by", draft.by)]
    texts += [(item.title, draft.said.get(item.id, "")) for item in EVIDENCE]
    for where, text in texts:
        if len(text) > NOTE_LENGTH:
            rule, found = f"at most {NOTE_LENGTH} characters", f"{len(text):,}"
            problems.append(_problem(where, rule, found, "Shorten it."))
    return tuple(problems)


def make_claim(draft: ClaimDraft) -> Claim:
    """Make a claim of a draft without faults."""
    return Claim(
        discharged=_day(draft.discharged),
        cleared=_day(draft.cleared),
        contract=draft.contract,
        own_days=_count(draft.own_days),
        own_from=draft.own_from,
        clause=draft.clause.strip(),
        said={
            item.id: text
            for item in EVIDENCE
            if (text := " ".join(draft.said.get(item.id, "").split()))
        },
        by=draft.by.strip(),
    )


def window_of(claim: Claim, contracts: Mapping[str, Contract]) -> Window | None:
    """Return the days in which a claim can be made; None while a day or the contract is not known.

    Days are counted from the day after: a window of 15 days from the 1st ends on the 16th. Your
    contract may count otherwise, and prevails.
    """
    days, runs_from = _terms(claim, contracts)
    if days is None or claim.discharged is None:
        return None
    begins = claim.discharged
    if runs_from == LATER and claim.cleared:
        begins = max(begins, claim.cleared)
    return Window(begins=begins, last=begins + timedelta(days=days))


def day_in(window: Window, today: date) -> ClaimDay:
    """Return where a day stands in a window.

    >>> day_in(Window(begins=date(2031, 3, 1), last=date(2031, 3, 16)), date(2031, 3, 10))
    ClaimDay(nth=9, left=6)
    """
    return ClaimDay(nth=(today - window.begins).days, left=(window.last - today).days)


def missing_evidence(claim: Claim, *, conditions: Collection[str]) -> tuple[Item, ...]:
    """Return what a claim still lacks, the most pressing first.

    Args:  beside: ids of items that the table itself shows.
    """
    return tuple(item for item in EVIDENCE if item.id not in (*claim.said, *conditions))


def _terms(claim: Claim, contracts: Mapping[str, Contract]) -> tuple[int | None, str]:
    if claim.contract == OWN:
        return claim.own_days, claim.own_from
    contract = contracts.get(claim.contract)
    return (contract.days, contract.runs_from) if contract else (None, DISCHARGE)


def _check_day(where: str, text: str) -> list[Problem]:
    if not text or _day(text):
        return []
    return [_problem(where, "a day such as 2031-03-04", told(text), "Choose it once more.")]


def _day(text: str) -> date | None:
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return None
    return day if FIRST_DAY <= day <= LAST_DAY else None


def _count(text: str) -> int | None:
    known = text.strip()
    if not (known.isascii() and known.isdigit() and len(known) <= 4):
        return None
    return int(known) if 1 <= int(known) <= MOST_DAYS else None


def _problem(where: str, rule: str, found: str, remedy: str) -> Problem:
    return Problem(where=where, rule=rule, found=found, remedy=remedy)
