"""What cannot work is said before the water boils, with the smallest change that fixes it."""

from crustbreak.core.errors import refuse
from crustbreak.domain.planning.feasibility.pouring_rules import (
    BOIL,
    FRESH,
    GRIND,
    SAMPLE,
    STALE,
    WINDOW,
)
from crustbreak.domain.planning.feasibility.rules import Issue, Rule, check_rules
from crustbreak.domain.planning.feasibility.tasting_rules import CAFFEINE, GAP, LIQUID, SCALD, TIME
from crustbreak.domain.planning.input_limits import check_planned
from crustbreak.domain.planning.table_facts import TableFacts

# The gravest first: what can hurt, what keeps the table from being poured or tasted, what spoils
# the marks, what makes them hard to compare.
RULES: tuple[Rule, ...] = (
    *(SCALD, LIQUID, SAMPLE, CAFFEINE),
    *(TIME, GRIND, FRESH, STALE, WINDOW, BOIL, GAP),
)


def issues(planned: TableFacts) -> tuple[Issue, ...]:
    """Return everything about a planned table that cannot work or suffers, the gravest first.

    What stops the table comes before what it only suffers from. Nothing is decided here: a person
    may set the table as it is.

    Raises:  Unacceptable for figures that nothing can be worked out from.
    """
    refuse("The planned table", check_planned(planned))
    found = [issue for rule in RULES if (issue := check_rules(rule, planned)) is not None]
    return tuple(sorted(found, key=lambda issue: not issue.stops))
