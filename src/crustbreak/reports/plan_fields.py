"""What a plan form asks, as data: the page draws it, and a question adds its own."""

from dataclasses import dataclass
from typing import Literal

# Where a field stands on the form: what is tasted, how the answer is to be, what measures the
# table, or how it is poured and tasted.
Part = Literal["coffees", "answer", "measures", "pouring"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanField:
    """One field of the form.

    name:      by which it is sent.
    label:     what it is; about: what to type, a sentence or two.
    kind:      a line, several lines, one of some choices, or a box to tick.
    options:   of a choice, what is sent and what is shown.
    more:      a summary and paragraphs behind it.
    rows:      of several lines, how many are seen at first.
    size:      how much of the form's width it takes.
    is_fixed:  what an earlier table was asked, and this one has to be asked again.
    """

    name: str
    label: str
    about: str = ""
    part: Part
    kind: Literal["line", "lines", "choice", "tick"] = "line"
    options: tuple[tuple[str, str], ...] = ()
    more: tuple[str, ...] = ()
    rows: int = 2
    size: Literal["", "short", "wide"] = ""
    is_number: bool = False
    is_required: bool = False
    is_first: bool = False
    is_fixed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanContext:
    """What the fields of a form depend on.

    currency:  of prices. lot_days: so long a name is the same lot.
    cups:      of a coffee on the sheet. in_time: bowls that are taken where none are chosen.
    is_begun:  coffees are named. follows: the table adds to an earlier one's answer.
    """

    currency: str
    lot_days: int
    cups: int
    in_time: int
    is_begun: bool
    follows: bool


def coffee_list(about: str, *more: str) -> PlanField:
    """Return the field for a list of coffees.

    Args:  about: how many. more: a summary and what stands behind it.
    """
    return PlanField(
        name="coffees",
        label="Which coffees",
        about=about,
        part="coffees",
        kind="lines",
        rows=5,
        more=more,
        is_required=True,
        is_first=True,
    )


def bowls_choice(about: str, usual: str, bowls: tuple[int, ...]) -> PlanField:
    """Return the field for how many bowls stand of each coffee.

    Args:  usual: what is taken where none are chosen.
    """
    return PlanField(
        name="bowls",
        label="Bowls of each coffee",
        about=about,
        part="pouring",
        kind="choice",
        options=(("", usual), *((str(each), str(each)) for each in bowls)),
    )


SHARE = PlanField(
    name="share",
    label="Codes each taster tastes",
    about="Empty: all of them. Of many codes each may taste some, shared out so that any two are "
    "compared about as often.",
    part="pouring",
    size="short",
    is_number=True,
)

FULLY_RANDOM = PlanField(
    name="fully_random",
    label="Fully random",
    about="draws over lines of dashes, too; without it the order of classes tells a taster "
    "something: blind within a class only",
    part="pouring",
    kind="tick",
)
