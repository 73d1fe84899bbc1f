"""Its definition, with a capability that no shipped question has: a blank bowl."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Self

from crustbreak.core.errors import Problem
from crustbreak.domain.capabilities import Capability, SingleCups
from crustbreak.domain.planning.plan_request import PlanDraft, as_compared
from crustbreak.domain.question import Question
from crustbreak.domain.records.asked import Asked

BOWLS = 3
BLANK = "Hot water"


@dataclass(frozen=True, slots=True, kw_only=True)
class TwinAsked(Asked):
    """Whether bowls of hot water stand blind among the others."""

    blank: bool = False

    @classmethod
    def read(cls, typed: Mapping[str, str]) -> Self:
        """Read the box that is ticked."""
        return cls(blank=typed.get("blank") == "yes")

    def typed(self) -> dict[str, str]:
        """Tick the box again."""
        return {"blank": "yes" if self.blank else ""}

    def text(self) -> str:
        """Say it."""
        return "with hot water" if self.blank else "without hot water"


@dataclass(frozen=True, slots=True, kw_only=True)
class BlankBowl(Capability):
    """Hot water stands blind among the coffees: who scores it like one was not tasting."""

    def extra_coffees(self, draft: PlanDraft) -> tuple[str, ...]:
        """Let it stand there where it is asked for."""
        return (BLANK,) if is_blank(draft) else ()

    def check(self, draft: PlanDraft) -> tuple[Problem, ...]:
        """Refuse a coffee that nobody could tell from it by its name."""
        return tuple(
            Problem(
                where="Coffees",
                rule="another name than that of the blank bowl",
                found=name,
                remedy="Rename it, or leave the blank bowl out.",
            )
            for name in draft.coffees
            if is_blank(draft) and as_compared(name) == as_compared(BLANK)
        )


def is_blank(draft: PlanDraft) -> bool:
    """Tell whether a draft asks for hot water."""
    return isinstance(draft.asked, TwinAsked) and draft.asked.blank


TWINS = Question(
    id="twins",
    asks="Are these two one coffee?",
    sheet="distance/1",
    least_coffees=2,
    most_coffees=2,
    cut_off_title="Largest distance that still counts as one",
    cut_off=1.0,
    verdicts=("one", "two", "open"),
    each_coffee=False,
    document="Twin note",
    layout=SingleCups(bowls=(BOWLS,), usual=lambda _: BOWLS),
    asked=TwinAsked,
    capabilities=(BlankBowl(),),
)
