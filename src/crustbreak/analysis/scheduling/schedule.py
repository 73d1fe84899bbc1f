"""A schedule: who does what at which cup, from when to when, in seconds from the first pour."""

from dataclasses import dataclass
from enum import StrEnum

from crustbreak.analysis.scheduling.bench import Bench


class Work(StrEnum):
    """What is done at a cup."""

    POUR = "pour"
    BREAK = "break"
    SKIM = "skim"


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """One thing that one person does at one cup.

    cup, person:      numbered from 1.
    from_s, until_s:  from the first pour, s.
    """

    work: Work
    cup: int
    person: int
    from_s: int
    until_s: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ScheduledCup:
    """What is done at one cup, and from when on it may be tasted, s from the first pour."""

    pour: Act
    break_: Act
    skim: Act
    taste_s: int

    @property
    def steep_s(self) -> int:
        """From the start of the pour to the start of the break, s."""
        return self.break_.from_s - self.pour.from_s


@dataclass(frozen=True, slots=True, kw_only=True)
class Fill:
    """One fill of a kettle and the cups poured from it, in order; numbered from 1."""

    kettle: int
    cups: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """The whole work at a table.

    cups:   in the order in which they are poured.
    fills:  of each kettle, in the order in which they are used.
    """

    bench: Bench
    cups: tuple[ScheduledCup, ...]
    fills: tuple[Fill, ...]

    @property
    def finish_s(self) -> int:
        """When the last cup is skimmed, s from the first pour."""
        return max(cup.skim.until_s for cup in self.cups)

    @property
    def errors_s(self) -> tuple[int, ...]:
        """How far each cup's steep is from the one asked for, s: above zero when it is longer."""
        return tuple(cup.steep_s - self.bench.steep_s for cup in self.cups)

    @property
    def worst_error_s(self) -> int:
        """The largest of them, either way, s."""
        return max(map(abs, self.errors_s))

    def of_person(self, person: int) -> tuple[Act, ...]:
        """Return what one person does, in order."""
        acts = (act for cup in self.cups for act in (cup.pour, cup.break_, cup.skim))
        return tuple(
            sorted((act for act in acts if act.person == person), key=lambda act: act.from_s)
        )
