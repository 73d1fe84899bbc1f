"""What more bowls were said to settle they settle, and what they were said not to, they do not.

The first table stays as it is, with its marks; the next ones are drawn with what was found for the
truth, as it is said, and each is a look at which it may be settled.
"""

from collections import Counter
from dataclasses import dataclass, field, replace

import numpy as np
import pytest

from crustbreak.analysis.dataset import Dataset
from crustbreak.questions.match.decision_rule import CANNOT_TELL, MOST_SITTINGS, OFTEN
from crustbreak.questions.match.evidence import match_evidence
from dealt_bowls import Panel, sitting

ALONE, SURER = Panel(), Panel(bowls=4, certainty=0.95)
THREE = Panel(tasters=3, bowl=0.25, private=0.3)


@dataclass(frozen=True, slots=True)
class Told:
    """Whether further sittings settled it, by what was said: how many would, or none."""

    how_many: list[bool] = field(default_factory=list)
    none: list[bool] = field(default_factory=list)


def goes_on(panel: Panel, first: Dataset, *, sets: int, chance: np.random.Generator) -> str:
    """Pour so many sittings more, until it is settled, and give the last word."""
    found = match_evidence(first)
    assert found.sure is not None
    private = panel.tastes(chance)
    private -= private.mean()
    before, word = (first,), found.suggestion
    for nth in range(2, 2 + sets):
        table = sitting(
            panel,
            panel.marks(found.sure.mean, chance, private),
            id=f"t{nth}",
            follows=before[0].id,
            history=before,
            seed=first.seed,
        )
        word = match_evidence(table).suggestion
        if word != CANNOT_TELL:
            break
        before = (replace(table, history=()), *before)
    return word


def check_told(panel: Panel, runs: int) -> Told:
    chance = np.random.default_rng(23)
    told = Told()
    for nth in range(runs):
        private = panel.tastes(chance)
        marks = panel.marks(float(chance.uniform(0.0, 2.0)), chance, private)
        first = sitting(panel, marks, id="t1", seed=nth)
        found = match_evidence(first)
        if found.suggestion != CANNOT_TELL:
            continue
        sets = found.more // (2 * panel.bowls + 1) if found.more else MOST_SITTINGS
        word = goes_on(panel, first, sets=sets, chance=chance)
        (told.how_many if found.more else told.none).append(word != CANNOT_TELL)
    return told


def test_a_row_of_looks_settles_what_it_was_said_not_to_settle() -> None:
    # Uneven marks, a third of a point apart on average, of a d of 1.5. Every one of forty rows is
    # settled by the fourth further sitting at the latest, and so it has to be told how many do.
    chance = np.random.default_rng(5)
    first = sitting(ALONE, np.array([[2.5, 2.0, 0.5, 2.0, 1.0, 3.0]]), id="t1", seed=3)

    ends = Counter(goes_on(ALONE, first, sets=4, chance=chance) for _ in range(40))

    assert match_evidence(first).suggestion == CANNOT_TELL
    assert 1 - ends[CANNOT_TELL] / 40 > OFTEN
    assert match_evidence(first).more is not None


@pytest.mark.soak
@pytest.mark.timeout(3600)
@pytest.mark.parametrize("panel", [ALONE, SURER, THREE], ids=["one", "one, surer", "three"])
def test_so_many_more_bowls_settle_it_eight_times_in_ten(panel: Panel) -> None:
    told = check_told(panel, 3_000)

    print(  # noqa: T201
        f"\n{len(told.how_many)} told: {np.mean(told.how_many):.3f}; "
        f"{len(told.none)} not: {np.mean(told.none):.3f}"
    )
    runs = len(told.how_many)
    assert np.mean(told.how_many) >= OFTEN - 3.1 * np.sqrt(OFTEN * (1 - OFTEN) / runs)
