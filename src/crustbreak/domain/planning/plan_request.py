"""What a host asks for before anything is drawn, and whether a table can be made of it."""

from dataclasses import dataclass
from unicodedata import category, normalize

from crustbreak.core.errors import Problem, told
from crustbreak.domain.planning.conditions_input import (
    NOTHING_TYPED,
    ConditionsDraft,
    check_conditions,
)
from crustbreak.domain.records.asked import NOTHING_ASKED, Asked
from crustbreak.domain.sheets.definition import Sheet

NAME_LENGTH = 80
MOST_TASTERS = 12
# More stand in each other's way at one table. Our judgement.
MOST_PEOPLE = 4
# One that measures the table, and one that is to follow it.
MOST_CONTROLS = 2
# Far beyond any lot: a figure above is a slip of the finger.
MOST_PRICE, MOST_KILOS = 100_000.0, 10_000_000.0

# Control signs, halves of signs, breaks of lines and paragraphs.
HIDDEN = frozenset({"Cc", "Cs", "Zl", "Zp"})
# These turn the reading direction of all that follows, a verdict on paper included.
TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """At what price how much of a coffee is offered.

    price:   of a kilo as landed, in the lab's currency; None where none was typed.
    kilos:   kg; None where none were typed.
    unread:  what was typed for them and is no number.
    """

    price: float | None = None
    kilos: float | None = None
    unread: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanDraft:
    """A table as asked for.

    occasion:  what to call it, may be empty.
    coffees:   names as typed, in the order typed.
    terms:     of each coffee in the same order; none for a table without prices.
    tasters:   names as typed.
    cut_off:   as the question means it, on the sheet's scale; None when it was no number.
    setter:    who fills the bowls.
    duplicate:    one coffee, drawn by chance, stands under two codes.
    controls:  names of the known coffees that measure the table: one, or none; two while a new
               one takes over.
    protocol:  by `id/version`; empty for the lab's.
    order_classes:  of each coffee in the same order, from 1; none for a table of one class.
    fully_random:   draw over all classes, as if there were one.
    numbered:  blind by numbered bowls that are shuffled dry; else the setter alone sees the key.
    bowls:     of each coffee; None for as many as can be tasted in time.
    share:     codes that each taster tastes; None for all of them.
    people:    who pour, break and skim; None when it was no number.
    conditions:    what may be said of samples, roast, grind and day.
    balanced:  each code is to come right after each other equally often; else all go round.
    asked:     what else the question asks for.
    follows:   id of the table to whose answer this one is to add; empty for none.
    """

    occasion: str
    coffees: tuple[str, ...]
    tasters: tuple[str, ...]
    cut_off: float | None
    setter: str
    duplicate: bool = False
    controls: tuple[str, ...] = ()
    terms: tuple[Terms, ...] = ()
    protocol: str = ""
    order_classes: tuple[int, ...] = ()
    fully_random: bool = False
    numbered: bool = False
    bowls: int | None = None
    share: int | None = None
    people: int | None = 1
    conditions: ConditionsDraft = NOTHING_TYPED
    balanced: bool = False
    asked: Asked = NOTHING_ASKED
    follows: str = ""


def check_draft(
    draft: PlanDraft,
    sheet: Sheet,
    *,
    least_coffees: int,
    most_coffees: int,
    bowls: tuple[int, ...] = (),
    cut_off_title: str = "Cut-off",
) -> tuple[Problem, ...]:
    """Name everything that keeps a table from being planned.

    Args:  bowls: how many bowls a code can be asked for. cut_off_title: what the figure that
           decides is called.
    """
    return (
        *_check_names("Coffees", draft.coffees, least_coffees, most_coffees),
        *_check_names("Tasters", draft.tasters, 1, MOST_TASTERS),
        *check_cut_off(draft.cut_off, sheet, title=cut_off_title),
        *check_text("Who sets the table", draft.setter, needed=True),
        *check_text("Occasion", draft.occasion, needed=False),
        *_check_names("Control", draft.controls, 0, MOST_CONTROLS),
        *_check_apart(draft),
        *_check_terms(draft),
        *_check_bowls(draft, bowls),
        *check_people(draft.people),
        *check_conditions(draft.conditions),
    )


def check_people(people: int | None) -> tuple[Problem, ...]:
    """Name what keeps a number of people from doing the work at a table."""
    if people is not None and 1 <= people <= MOST_PEOPLE:
        return ()
    return (
        Problem(
            where="Who pours and breaks",
            rule=f"1 to {MOST_PEOPLE} people",
            found="no number" if people is None else told(people),
            remedy="Choose one of them.",
        ),
    )


def _check_apart(draft: PlanDraft) -> tuple[Problem, ...]:
    names = {as_compared(name) for name in draft.coffees}
    return tuple(
        Problem(
            where="Control",
            rule="a coffee of its own, which nobody decides about",
            found=f"{told(control)} among the coffees",
            remedy="Take it out of the coffees, or name another control.",
        )
        for control in draft.controls
        if as_compared(control) in names
    )


def _check_bowls(draft: PlanDraft, bowls: tuple[int, ...]) -> tuple[Problem, ...]:
    if draft.bowls is None or draft.bowls in bowls:
        return ()
    wanted = ", ".join(f"{each}" for each in bowls) or "what the question says"
    return (
        Problem(
            where="Bowls of each coffee",
            rule=f"one of {wanted}",
            found=told(draft.bowls),
            remedy="Choose one, or leave it to the time that there is.",
        ),
    )


def _check_terms(draft: PlanDraft) -> tuple[Problem, ...]:
    problems = []
    told_terms = zip(draft.coffees, draft.terms, strict=bool(draft.terms))
    for nth, (name, terms) in enumerate(told_terms, start=1):
        where = f"Coffees, {nth}: {told(name)}"
        found = [*terms.unread]
        for figure, most in ((terms.price, MOST_PRICE), (terms.kilos, MOST_KILOS)):
            if figure is not None and not 0 < figure <= most:
                found.append(f"{figure:g}")
        problems += [
            Problem(
                where=where,
                rule="name; price of a kilo; kilos: numbers above 0, two decimals at most",
                found=told(text),
                remedy="Write 7.25 or 7,25, and 1200 without a sign between; or leave both out.",
            )
            for text in found
        ]
    return tuple(problems)


def _check_names(where: str, names: tuple[str, ...], least: int, most: int) -> tuple[Problem, ...]:
    problems: list[Problem] = []
    if not least <= len(names) <= most:
        wanted = f"{least} to {most}" if most > least else str(least)
        problems.append(
            Problem(
                where=where,
                rule=f"{wanted} names, one a line",
                found=str(len(names)) if names else "none",
                remedy=f"Give {wanted} names.",
            )
        )
    seen: set[str] = set()
    for name in names:
        same = as_compared(name)
        if same in seen:
            problems.append(
                Problem(
                    where=where,
                    rule="each name stands once",
                    found=f"{told(name)} twice",
                    remedy="Tell the two apart, or take one out.",
                )
            )
        seen.add(same)
        problems.extend(check_text(where, name, needed=True))
    return tuple(problems)


def as_compared(name: str) -> str:
    """Return a name as it is compared with another: two that look alike on paper are one.

    An accent can be one sign or two; capitals and the width of a gap are nobody's other name.
    """
    return " ".join(normalize("NFKC", name).casefold().split())


def check_text(
    where: str, text: str, *, needed: bool, length: int = NAME_LENGTH
) -> tuple[Problem, ...]:
    """Name everything that keeps a line of text from standing on a paper."""
    if needed and not any(category(sign)[0] not in "CZ" for sign in text):
        return (Problem(where=where, rule="something written", found="nothing", remedy="Type it."),)
    if len(text) > length:
        return (
            Problem(
                where=where,
                rule=f"at most {length:,} characters",
                found=f"{len(text):,} in {told(text[:20])}...",
                remedy="Shorten it.",
            ),
        )
    if any(category(sign) in HIDDEN or sign in TURNING for sign in text):
        return (
            Problem(
                where=where,
                rule="signs that can be seen",
                found=told(text),
                remedy="Type it again: pasted text can carry signs that nobody sees.",
            ),
        )
    return ()


def check_cut_off(
    cut_off: float | None, sheet: Sheet, *, title: str = "Cut-off"
) -> tuple[Problem, ...]:
    """Name what keeps a figure from deciding on this sheet.

    Args:  title: what it is called where it is asked for.
    """
    least, most = score_range(sheet)
    # What is printed with two places must not decide with more.
    holds = cut_off is not None and least <= cut_off <= most and round(cut_off, 2) == cut_off
    if holds and type(cut_off) is not bool:
        return ()
    return (
        Problem(
            where=title,
            rule=f"a number from {least:g} to {most:g}, two decimals at most",
            found="no number" if cut_off is None else told(cut_off),
            remedy="Give the figure that decides.",
        ),
    )


def score_range(sheet: Sheet) -> tuple[float, float]:
    """Return the least and the largest total that the sheet can add up to, at zero or above."""
    least = most = 0.0
    for line in sheet.scored:
        worth = [option.points * sheet.cups for option in line.options] or [line.least, line.most]
        least += min(worth)
        most += max(worth)
    return max(0.0, least), most
