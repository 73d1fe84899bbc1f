"""What a question can do beside being asked: small objects that stand on its definition.

A new one is a subclass with the hooks it needs. Whoever plans a table goes through them all and
knows none by name; only what one of them alone brings (its page, its check) asks for it.
"""

from collections.abc import Callable
from dataclasses import dataclass

from crustbreak.core.errors import Problem
from crustbreak.domain.planning.layout.places import PlaceDraft
from crustbreak.domain.planning.phrases import format_count
from crustbreak.domain.planning.plan_request import PlanDraft
from crustbreak.domain.records.asked import Asked


@dataclass(frozen=True, slots=True, kw_only=True)
class Capability:
    """One thing that a question can do; each hook does nothing until it is overridden."""

    def extra_coffees(self, _draft: PlanDraft) -> tuple[str, ...]:
        """Return names that stand blind among the others, and that nobody decides about."""
        return ()

    def is_twice(self, _draft: PlanDraft) -> bool:
        """Return whether one coffee, drawn by chance, stands under a second code."""
        return False

    def open_places(self) -> int:
        """Return how many bowls of the first coffee stand labelled and are not marked."""
        return 0

    def check(self, _draft: PlanDraft) -> tuple[Problem, ...]:
        """Name what keeps a draft from being planned."""
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class HiddenControl(Capability):
    """Known coffees stand blind among the others and measure the table."""

    def extra_coffees(self, draft: PlanDraft) -> tuple[str, ...]:
        """Return the controls that the draft names."""
        return draft.controls


@dataclass(frozen=True, slots=True, kw_only=True)
class HiddenDuplicate(Capability):
    """One coffee stands under two codes, to see how alike it is tasted."""

    def is_twice(self, draft: PlanDraft) -> bool:
        """Return whether the draft asks for it."""
        return draft.duplicate


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelledControl(Capability):
    """The first coffee also stands labelled: the others are held against it."""

    def open_places(self) -> int:
        """Return 1."""
        return 1


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoStages(Capability):
    """More offers than one table takes: one bowl of each in flights, then the best again.

    most_offers:     taken at the first stage.
    goes_on, stays:  the verdicts of the first stage.
    """

    most_offers: int
    goes_on: str
    stays: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FollowUp(Capability):
    """A further table can add to the answer of an earlier one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LotHistory(Capability):
    """What earlier tables found of a coffee of the same name counts as well."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherChecks(Capability):
    """Green measurements, an earlier score and a claim are kept beside the table.

    score_sheet:  sheet and version of the scores that an earlier score is compared with.
    """

    score_sheet: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedRoles(Capability):
    """Coffees are asked for one by one.

    titles:  what each is to the question.
    """

    titles: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedCodes:
    """All bowls of a coffee stand under one code.

    bowls:  how many can be chosen, the most first; none where the sheet says it.
    """

    bowls: tuple[int, ...] = ()

    def places(self, coffee_ids: tuple[str, ...], bowls: int) -> tuple[PlaceDraft, ...]:
        """Return a place for each coffee, with so many bowls."""
        return tuple(PlaceDraft(coffee_id=coffee_id, cups=bowls) for coffee_id in coffee_ids)

    def usual_bowls(self, _asked: Asked) -> int | None:
        """Return None: as many as can be tasted in time."""
        return None

    def codes(self, coffees: int, _bowls: int) -> int:
        """Return how many codes so many coffees take."""
        return coffees

    def cups(self, bowls: int) -> int:
        """Return how many bowls stand under a code."""
        return bowls

    def codes_each(self, _bowls: int, *, opened: int) -> int:  # noqa: ARG002
        """Return 0: a coffee stands under one code, or two."""
        return 0

    def text(self, bowls: int, *, opened: int) -> str:  # noqa: ARG002
        """Return in words how many bowls stand there."""
        return f"{format_count(bowls, 'bowl')} a code"


@dataclass(frozen=True, slots=True, kw_only=True)
class SingleCups:
    """Each bowl has a code of its own.

    bowls:  of each coffee, how many can be chosen, the most first.
    usual:  what is asked to the bowls that are taken where none are chosen.
    """

    bowls: tuple[int, ...]
    usual: Callable[[Asked], int]

    def places(self, coffee_ids: tuple[str, ...], bowls: int) -> tuple[PlaceDraft, ...]:
        """Return a place for each of so many bowls of each coffee."""
        return tuple(
            PlaceDraft(coffee_id=coffee_id, cups=1)
            for coffee_id in coffee_ids
            for _ in range(bowls)
        )

    def usual_bowls(self, asked: Asked) -> int | None:
        """Return how many bowls of each coffee are taken where none are chosen."""
        return self.usual(asked)

    def codes(self, coffees: int, bowls: int) -> int:
        """Return how many codes so many coffees take."""
        return coffees * bowls

    def cups(self, _bowls: int) -> int:
        """Return 1."""
        return 1

    def codes_each(self, bowls: int, *, opened: int) -> int:
        """Return under how many codes the coffee that stands most often stands."""
        return bowls + opened

    def text(self, bowls: int, *, opened: int) -> str:
        """Return in words how many bowls stand there."""
        one_open = " and one open" if opened else ""
        return f"{format_count(bowls, 'bowl')} of each coffee under codes of their own{one_open}"


Layout = SharedCodes | SingleCups
