"""How often the rule is right and wrong over many tables with a known truth.

A short run with bounds that it would break in an ordinary suite; 3,000 tables a case in the long
one. The truths are set here; nothing that is expected comes from the rule itself but what a plan
promised, which the tables then have to keep.
"""

import numpy as np
import pytest

from crustbreak.questions.match.decision_rule import CANNOT_TELL, Spreads, forecast_text
from crustbreak.questions.match.definition import level_of
from crustbreak.questions.match.evidence import match_evidence
from dealt_bowls import Panel, gap_for, looks_in_a_row, screenings, sitting, words

D = 1.5
FEW, MANY = 150, 3_000
ALONE = Panel()
SURER = Panel(bowls=4, certainty=0.95)
THREE = Panel(tasters=3, bowl=0.25, private=0.3)
PANELS = {"one, 3 + 3": ALONE, "one, 4 + 4": SURER, "three, 3 + 3": THREE}


def at_most(rate: float, runs: int) -> float:
    """Give what so many runs of a rate stay under but once in a thousand times: 3.1 deviations."""
    return rate + 3.1 * float(np.sqrt(rate * (1 - rate) / runs))


def check_level(panel: Panel, runs: int) -> dict[str, dict[str, float]]:
    """Nothing differs, or a little more than d: neither false word comes more often than stated."""
    level = level_of(panel.certainty, 1)
    alike = words(screenings(panel, 0.0, runs=runs, seed=11))
    beyond = words(screenings(panel, gap_for(panel, D), runs=runs, seed=12))

    assert alike["different"] <= at_most(level, runs)
    assert beyond["same"] <= at_most(level, runs)
    return {"alike": alike, "at d": beyond}


def check_promise(panel: Panel, runs: int) -> tuple[float, float]:
    """Two points apart are found, and alike are called the same, as often as was promised."""
    promise = forecast_text(
        bowls=panel.bowls,
        tasters=panel.tasters,
        within=D,
        level=level_of(panel.certainty, 1),
        spreads=Spreads(own=panel.own, bowl=panel.bowl or 1e-4, private=panel.private),
    )
    found = words(screenings(panel, 2.0, runs=runs, seed=13))["different"]
    same = words(screenings(panel, 0.0, runs=runs, seed=14))["same"]

    # The plan's own draws, and what the engine knows beside a plan's rule of thumb.
    margin = 0.04 + 3.1 * float(np.sqrt(0.25 / runs))
    assert found == pytest.approx(promise.found, abs=margin)
    assert same == pytest.approx(promise.same, abs=margin)
    return found, same


def check_claims(panel: Panel, runs: int) -> tuple[float, int]:
    """Of all that is called the same, at least the claimed share lies within d."""
    chance = np.random.default_rng(15)
    furthest = gap_for(panel, D)
    right = []
    for nth in range(runs):
        # Any difference from none to a coffee that everybody would send back.
        gap = float(chance.uniform(0.0, 4.0))
        marks = panel.marks(gap, chance, panel.tastes(chance))
        if match_evidence(sitting(panel, marks, seed=nth)).suggestion == "same within d":
            right.append(gap <= furthest)
    share = float(np.mean(right))

    claimed = 1 - level_of(panel.certainty, 1)
    assert share >= claimed - 3.1 * float(np.sqrt(claimed * (1 - claimed) / len(right)))
    return share, len(right)


def check_row(panel: Panel, runs: int) -> float:
    """However many looks follow, "different" is false at most as rarely as was asked for."""
    chance = np.random.default_rng(16)
    ends = [
        looks_in_a_row(panel, 0.0, ratings=3, chance=chance, seed=nth)[-1].suggestion
        for nth in range(runs)
    ]
    false = float(np.mean([end.startswith("different") for end in ends]))

    assert false <= at_most(1 - panel.certainty, runs)
    return false


def check_more(panel: Panel, runs: int) -> tuple[float, int]:
    """Where so many more bowls were said to settle it, they do so about as often as was said."""
    chance = np.random.default_rng(17)
    settled: list[bool] = []
    for nth in range(runs):
        gap = float(chance.uniform(0.3, 1.6))
        first = looks_in_a_row(panel, gap, ratings=1, chance=chance, seed=nth)[0]
        if first.suggestion != CANNOT_TELL or first.more is None or first.sure is None:
            continue
        # What was found is the truth: that is what was promised.
        sets = first.more // (2 * panel.bowls + 1)
        truth = max(first.sure.mean, 0.0)
        row = looks_in_a_row(panel, truth, ratings=1 + sets, chance=chance, seed=nth)
        settled.append(row[-1].suggestion != CANNOT_TELL)
    share = float(np.mean(settled))

    # Said of a row that began with these bowls; here it begins anew, which is a little harder.
    assert share >= 0.7
    return share, len(settled)


def test_false_words_come_as_rarely_as_stated() -> None:
    check_level(ALONE, FEW)


def test_a_plan_keeps_what_it_promised() -> None:
    check_promise(ALONE, FEW)


def test_what_is_called_the_same_mostly_is() -> None:
    _, said = check_claims(ALONE, FEW)

    assert said > FEW / 20


def test_looks_in_a_row_share_one_chance_of_a_false_word() -> None:
    check_row(ALONE, FEW)


@pytest.mark.soak
@pytest.mark.parametrize("name", PANELS)
def test_the_rates_hold_over_thousands_of_tables(name: str) -> None:
    panel = PANELS[name]

    check_level(panel, MANY)
    check_promise(panel, MANY)
    check_claims(panel, MANY)
    check_row(panel, MANY)


@pytest.mark.soak
def test_more_bowls_settle_what_they_were_said_to() -> None:
    _, told = check_more(ALONE, MANY)

    assert told > MANY / 10
