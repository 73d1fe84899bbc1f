"""What is said about heat, liquid, time, caffeine and the answer.

Figures: common practice, no source, unless one is named beside them.
"""

import pytest

from crustbreak.domain.planning.feasibility.report import issues
from planned_tables import found, only, planned_table


@pytest.mark.parametrize(
    ("places", "cups", "fits"),
    [(6, 5, True), (8, 3, True), (12, 1, True), (10, 3, False), (8, 5, False), (10, 5, False)],
)
def test_three_rounds_fit_between_too_hot_and_too_cold(places: int, cups: int, fits: bool) -> None:
    assert ("time" not in found(planned_table(places=places, cups=cups))) is fits


def test_rounds_that_do_not_fit_are_fewer_or_of_fewer_cups() -> None:
    issue = only(places=10, cups=3)

    assert issue.rule == "time"
    assert "take 24:30" in issue.found
    assert issue.fix == (
        "Go round 2 times, not 3; or take 2 codes off the table, to 8; or set 1 under each code, "
        "not 3."
    )


def test_twenty_batches_fit_two_rounds_of_a_release_check() -> None:
    check = {"cups": 1, "rounds": 2, "timing__writing_s": 7}

    assert issues(planned_table(places=20, **check)) == ()


def test_twelve_guests_share_more_bowls() -> None:
    """12 x 2 rounds x 2 spoons x 5 ml are 240 ml, and a bowl leaves about 103."""
    guests = {"places": 4, "tasters": 12, "rounds": 2, "spoons": 2, "shared": True}

    assert issues(planned_table(cups=3, **guests)) == ()
    issue = only(cups=1, **guests)
    assert (issue.rule, issue.stops) == ("liquid", True)
    assert issue.fixes[0].to == 3


def test_bowls_that_everybody_tastes_want_fewer_spoons() -> None:
    issue = only(tasters=8)

    assert issue.found == (
        "8 tasters take 120 ml out of a bowl over 3 rounds, and it leaves about 103 ml to taste."
    )
    assert issue.fix == "Go round 2 times, not 3; or sit with 2 tasters fewer, 6."


@pytest.mark.parametrize(
    ("tasters", "gap_points"),
    # Gaps worth believing: 2.8 with one taster, 1.6 with three; six looks 1.1 and twelve 0.8.
    [(1, 2.8), (3, 1.6), (6, 1.1), (12, 0.8)],
)
def test_gap_worth_believing_shrinks_with_the_root_of_the_tasters(
    tasters: int, gap_points: float
) -> None:
    seats = {"tasters": tasters, "rounds": 1}

    assert "gap" not in found(planned_table(gap__matters_points=gap_points + 0.05, **seats))
    assert "gap" in found(planned_table(gap__matters_points=gap_points - 0.05, **seats))


def test_table_too_coarse_for_its_question_asks_more_tasters() -> None:
    """1.6 x root of 3/5 is 1.24 and of 3/6 is 1.13."""
    issue = only(gap__matters_points=1.2)

    assert issue.rule == "gap"
    assert issue.fix == "Ask 3 more tasters; or ask only for gaps from 1.6 points."


def test_nobody_tastes_what_scalds() -> None:
    """65 C: [S3], and the bound of what [S25] calls very hot."""
    issue = only(timing__taste_from_s=500)

    assert (issue.rule, issue.stops) == ("scald", True)
    assert issue.found.startswith("The first spoon is planned 8:20 after the pour")
    assert "above 65 C until 13:20" in issue.found
    assert issue.fix == "Start 5 min later, at 13:20."


@pytest.mark.parametrize(
    ("earlier_mg", "most"),
    # 200 mg at once and 400 mg a day: [S4]; a spoon of 5 ml at 0.66 mg/ml holds 3.3 mg.
    [(0, 60), (200, 60), (301, 30), (400, 0), (450, 0)],
)
def test_spoons_swallowed_keep_to_what_is_held_safe(earlier_mg: int, most: int) -> None:
    assert "caffeine" not in found(planned_table(swallowed=most, earlier_mg=earlier_mg))
    issue = only(swallowed=90, earlier_mg=earlier_mg)
    assert issue.rule == "caffeine"
    assert issue.fixes[0].to == most
    assert issue.fix.startswith("Spit")
    assert issue.found.endswith("Information, not medical advice.")


def test_nobody_swallows_more_than_is_tasted() -> None:
    """Three codes in three rounds are nine spoons."""
    assert issues(planned_table(swallowed=5000, places=3, cups=1)) == ()
