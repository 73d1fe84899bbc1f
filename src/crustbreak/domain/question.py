"""A question is a folder; this is what its definition says."""

from dataclasses import dataclass
from typing import TypeVar

from crustbreak.core.errors import Problem
from crustbreak.domain.capabilities import Capability, Layout, SingleCups
from crustbreak.domain.planning.plan_request import PlanDraft
from crustbreak.domain.records.asked import Asked
from crustbreak.domain.records.tables import Table

C = TypeVar("C", bound=Capability)


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What a table is asked.

    id:             one word, used in addresses and records.
    asks:           the question as a sentence.
    sheet:          sheet and version on which it is tasted.
    least_coffees, most_coffees:  how many coffees a table of it takes.
    cut_off_title:  what the figure fixed before the pour is, with its unit.
    cut_off:        the figure offered until the lab has one of its own.
    verdicts:       the words a person can decide by.
    each_coffee:    decided coffee by coffee, and called code by code; else as one.
    document:       what its paper is called.
    layout:         how its coffees become bowls and codes.
    asked:          what else is fixed before the pour.
    capabilities:   what it can do beside that.
    next_words:     what can follow a verdict, as examples.
    """

    id: str
    asks: str
    sheet: str
    least_coffees: int
    most_coffees: int
    cut_off_title: str
    cut_off: float
    verdicts: tuple[str, ...]
    each_coffee: bool
    document: str
    layout: Layout
    asked: type[Asked] = Asked
    capabilities: tuple[Capability, ...] = ()
    next_words: tuple[str, ...] = ()

    @property
    def cut_off_name(self) -> str:
        """What the figure that decides is called, without its unit."""
        return self.cut_off_title.split(",", maxsplit=1)[0]

    @property
    def is_single(self) -> bool:
        """Whether each bowl has a code of its own."""
        return isinstance(self.layout, SingleCups)

    @property
    def open_places(self) -> int:
        """How many bowls stand labelled."""
        return sum(each.open_places() for each in self.capabilities)

    def can(self, kind: type[C]) -> C | None:
        """Return what a question can do of this kind; None where it cannot."""
        return next((each for each in self.capabilities if isinstance(each, kind)), None)

    def extra_coffees(self, draft: PlanDraft) -> tuple[str, ...]:
        """Return names that stand blind beside those of the draft, and are not decided about."""
        return tuple(name for each in self.capabilities for name in each.extra_coffees(draft))

    def is_twice(self, draft: PlanDraft) -> bool:
        """Return whether one coffee stands under a second code."""
        return any(each.is_twice(draft) for each in self.capabilities)

    def check(self, draft: PlanDraft) -> tuple[Problem, ...]:
        """Name what the question itself has against a draft."""
        own = (problem for each in self.capabilities for problem in each.check(draft))
        return (*self.asked_by(draft).check(), *own)

    def asked_by(self, draft: PlanDraft) -> Asked:
        """Return what a draft asks, as this question means it; the usual where it says nothing."""
        return draft.asked if isinstance(draft.asked, self.asked) else self.asked()

    def asked_of(self, table: Table) -> Asked:
        """Return what a table was asked."""
        return self.asked.restore(table.asked)
