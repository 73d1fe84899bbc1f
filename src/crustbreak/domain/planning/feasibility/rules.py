"""What is wrong with a planned table, and the smallest change that fixes it.

A rule looks at a planned table and says what it found. Its dials are the things that a person
could turn to mend it. Each is turned a step at a time until the rule finds nothing more, so what
is named is the smallest change by construction: one step less was looked at and did not do.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from operator import attrgetter
from typing import Any

from crustbreak.domain.planning.phrases import format_choice
from crustbreak.domain.planning.table_facts import TableFacts

NO_ONE_CHANGE = "No one change mends it: change more than one thing, or set two tables."
# Steps are counted in, so that tenths do not add up to something else.
PLACES_KEPT = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Fix:
    """One change that makes an issue go away.

    field:  of the planned table, as `recipe.pace_s`.
    to:     what it has to become.
    step:   the step in which it is turned; one less than `to` does not mend it.
    says:   the change in words, without a capital or a full stop.
    """

    field: str
    to: float
    step: float
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Issue:
    """Something that cannot work, or suffers, as planned.

    rule:   one word, which rule it is.
    found:  what was found, as a sentence with its numbers.
    stops:  the table cannot work like this; else it only suffers.
    fixes:  the smallest change of each kind that fixes it alone; empty when none does.
    """

    rule: str
    found: str
    stops: bool
    fixes: tuple[Fix, ...]

    @property
    def fix(self) -> str:
        """What fixes it, as a sentence."""
        return format_choice(tuple(fix.says for fix in self.fixes)) or NO_ONE_CHANGE


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjustment:
    """One thing about a planned table that a person can turn.

    field:  of the planned table.
    step:   with its direction.
    end:    the furthest it may go.
    says:   from what it is and what it has to become to the change in words.
    """

    field: str
    step: float
    end: float
    says: Callable[[float, float], str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One thing that is looked at.

    word:   names the rule.
    finds:  what is wrong, as a sentence; empty when nothing is.
    stops:  whether the table then cannot work.
    dials:  what can be turned, the likeliest first.
    """

    word: str
    finds: Callable[[TableFacts], str]
    stops: Callable[[TableFacts], bool]
    adjustments: tuple[Adjustment, ...]


def check_rules(rule: Rule, planned: TableFacts) -> Issue | None:
    """Return what a rule finds, with the smallest change of each kind that fixes it alone."""
    found = rule.finds(planned)
    if not found:
        return None
    fixes = (_smallest(rule, adjustment, planned) for adjustment in rule.adjustments)
    return Issue(
        rule=rule.word,
        found=found,
        stops=rule.stops(planned),
        fixes=tuple(fix for fix in fixes if fix is not None),
    )


def turned(planned: TableFacts, field: str, *, to: float) -> TableFacts:
    """Return the planned table with one field changed; the field may lie in one of its records."""
    changed: TableFacts = _turned(planned, field, to)
    return changed


def _turned(record: Any, field: str, to: float) -> Any:
    name, _, inner = field.partition(".")
    now = getattr(record, name)
    if inner:
        return replace(record, **{name: _turned(now, inner, to)})
    return replace(record, **{name: bool(to) if isinstance(now, bool) else to})


def _smallest(rule: Rule, adjustment: Adjustment, planned: TableFacts) -> Fix | None:
    now: float = attrgetter(adjustment.field)(planned)
    steps = 1
    while (adjustment.end - (to := _after(now, adjustment.step, steps))) * adjustment.step >= 0:
        if not rule.finds(turned(planned, adjustment.field, to=to)):
            return Fix(
                field=adjustment.field, to=to, step=adjustment.step, says=adjustment.says(now, to)
            )
        steps += 1
    return None


def _after(now: float, step: float, steps: int) -> float:
    to = now + steps * step
    return to if isinstance(to, int) else round(to, PLACES_KEPT)
