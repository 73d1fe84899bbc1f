"""What is said about sample, roast, grind, water and pour.

Figures: common practice, no source, unless one is named beside them.
"""

import pytest

from planned_tables import found, only, planned_table


def test_small_offer_cannot_give_everything() -> None:
    issue = only(use__sample_g=250)

    assert (issue.rule, issue.stops) == ("sample", False)
    assert "350 g for grading, 1 x 70 g to roast and 2 x 100 g to retain" in issue.found
    assert issue.fix == "Ask for 370 g more."


def test_sample_that_gives_no_roast_stops_the_table() -> None:
    assert only(use__sample_g=65, use__graded=False, use__retained=0).stops


def test_ungraded_offer_can_retain_one_portion() -> None:
    issue = only(use__sample_g=250, use__graded=False)

    assert issue.fix.startswith("Ask for 20 g more; or retain 1 portion")


def test_hidden_duplicate_takes_a_sample_for_two_codes() -> None:
    """10 x 8.25 + 15 = 97.5, so 100 g roasted and 115 g green."""
    assert "115 g to roast" in only(use__codes=2, use__sample_g=650).found


@pytest.mark.parametrize(
    ("ground_min", "lidded", "keeps"),
    # 15 min open and 30 lidded: [S24].
    [(15, False, True), (16, False, False), (30, True, True), (31, True, False)],
)
def test_grounds_keep_a_quarter_of_an_hour_or_half_with_lids(
    ground_min: int, lidded: bool, keeps: bool
) -> None:
    planned = planned_table(timing__ground_min=ground_min, timing__lidded=lidded)

    assert ("grind" not in found(planned)) is keeps


def test_ground_too_early_is_lidded_or_ground_later() -> None:
    assert only(timing__ground_min=25).fix == "Lid each cup when ground; or grind 10 min later."
    assert only(timing__ground_min=40).fix == "Grind 25 min later."


@pytest.mark.parametrize(
    ("hours", "rule"),
    # 8 to 24 h after the roast: [S23].
    [(7.5, "fresh"), (8, None), (24, None), (24.5, "stale")],
)
def test_roast_is_tasted_within_its_window(hours: float, rule: str | None) -> None:
    planned = planned_table(timing__youngest_h=hours, timing__oldest_h=hours)

    assert set(found(planned)) == ({rule} if rule else set())


def test_fresh_roast_waits_and_an_old_one_is_roasted_again() -> None:
    assert only(timing__youngest_h=5).fix == "Pour 3 h later."
    assert only(timing__oldest_h=30).fix == "Pour 6 h earlier, or roast it again."


@pytest.mark.parametrize(
    ("altitude_m", "boiling_c", "rules"),
    # Boiling points from the standard atmosphere and the vapour pressure of water, worked out
    # apart from this code; window 92.2 to 94.4 C: [S23].
    [
        (1500, 94.98, set()),
        (2000, 93.32, set()),
        (2250, 92.48, {"boil"}),
        (2500, 91.64, {"boil", "window"}),
    ],
)
def test_water_that_boils_too_low_is_said_with_its_height(
    altitude_m: float, boiling_c: float, rules: set[str]
) -> None:
    planned = planned_table(boil__altitude_m=altitude_m, boil__boiling_c=boiling_c)

    assert set(found(planned)) == rules


def test_above_the_window_the_house_writes_down_its_own() -> None:
    high = found(planned_table(boil__altitude_m=2500, boil__boiling_c=91.64))

    assert high["window"].found == (
        "Water boils at 91.6 C at 2,500 m. The window of 92.2 to 94.4 C can be met in full up to "
        "1,675 m and not at all above 2,334 m."
    )
    assert high["window"].fixes[0].to == 91.6
    assert high["boil"].fix == "Put 91.6 C into the recipe and pour straight off the boil."
