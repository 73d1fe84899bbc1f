"""Is this the coffee we approved?"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import comb
from typing import Self

from crustbreak.core.errors import Problem
from crustbreak.domain.capabilities import (
    FollowUp,
    LabelledControl,
    NamedRoles,
    OtherChecks,
    SingleCups,
)
from crustbreak.domain.question import Question
from crustbreak.domain.records.asked import Asked

# Bowls of the control, and as many of what is compared with it. Three tell what a person alone can
# taste in ten minutes; six of each and the open one are thirteen. Common practice, no source.
BOWLS = (6, 5, 4, 3)
CERTAINTIES = (0.9, 0.95, 0.99)


SAME, BETTER, WORSE, DIFFERENT, CANNOT_TELL = VERDICTS = (
    "same within d",
    "different, better",
    "different, worse",
    "different",
    "cannot tell yet",
)


def level_of(certainty: float, look: int) -> float:
    """Return the chance of a false word that a look may take, 0 to 1.

    Half of what is left each time: a half, a quarter, an eighth of the whole. However many looks
    follow each other, all of them together stay under it.

    Args:  certainty: 0 to 1. look: from 1.

    >>> level_of(0.9, 1), level_of(0.9, 2)
    (0.05, 0.025)
    """
    return round((1 - certainty) / 2.0**look, 12)


def by_luck(bowls: int) -> int:
    """Return in how many ways so many bowls of each can stand: one of them parts all by luck.

    >>> by_luck(3), by_luck(4)
    (20, 70)
    """
    return comb(2 * bowls, bowls)


def fewest_bowls(certainty: float) -> int:
    """Return the fewest bowls of each coffee of which the screening can say that they differ.

    With fewer, even bowls that part without a slip could have done so by luck too often.

    >>> [fewest_bowls(certainty) for certainty in CERTAINTIES]
    [3, 4, 5]
    """
    return next(
        bowls for bowls in sorted(BOWLS) if 1 / by_luck(bowls) <= level_of(certainty, look=1)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class MatchAsked(Asked):
    """How sure the answer is to be, 0 to 1."""

    certainty: float = CERTAINTIES[0]

    @classmethod
    def read(cls, typed: Mapping[str, str]) -> Self:
        """Read it in 100; what is no number asks for the usual."""
        try:
            return cls(certainty=float(typed.get("certainty", "").replace(",", ".")) / 100)
        except ValueError:
            return cls()

    def typed(self) -> dict[str, str]:
        """Return it in 100."""
        return {"certainty": f"{self.certainty * 100:g}"}

    def check(self) -> tuple[Problem, ...]:
        """Name what keeps an answer from being as sure as was asked."""
        if self.certainty in CERTAINTIES:
            return ()
        wanted = ", ".join(f"{each * 100:g}" for each in CERTAINTIES)
        return (
            Problem(
                where="How sure",
                rule=f"one of {wanted} in 100",
                found=f"{self.certainty * 100:g}",
                remedy="Choose one of them.",
            ),
        )

    def text(self) -> str:
        """Return in words how sure."""
        return f"{self.certainty * 100:g} in 100 sure"


def usual_bowls(asked: Asked) -> int:
    """Return the fewest bowls that can be as sure as was asked; what cannot be asked is refused."""
    certainty = asked.certainty if isinstance(asked, MatchAsked) else CERTAINTIES[0]
    return fewest_bowls(certainty if certainty in CERTAINTIES else CERTAINTIES[0])


ROLES = NamedRoles(titles=("Approved: the control", "To be compared with it"))

MATCH = Question(
    id="match",
    asks="Is this the coffee we approved?",
    sheet="difference/1",
    least_coffees=2,
    most_coffees=2,
    cut_off_title="Largest difference that still counts as the same, d",
    # Between "barely" and "slightly" on the sheet. Our judgement.
    cut_off=1.5,
    verdicts=VERDICTS,
    each_coffee=False,
    document="Approval note",
    layout=SingleCups(bowls=BOWLS, usual=usual_bowls),
    asked=MatchAsked,
    capabilities=(
        LabelledControl(),
        ROLES,
        FollowUp(),
        # Scores of offers are given on the ten-line sheet.
        OtherChecks(score_sheet="ten_line/1"),
    ),
    next_words=("accept", "ask for an allowance", "ask for a replacement", "taste again"),
)
