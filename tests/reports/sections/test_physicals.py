"""Measures and an old score in words, each apart from the taste."""

from typing import Any

from crustbreak.reports.blocks import Grid
from crustbreak.reports.sections.physicals import limits_text, old_score_text, physicals_blocks


def reading(**changed: Any) -> dict[str, Any]:
    return {
        "measure": "moisture",
        "at_approval": "10.8",
        "found": "12.9",
        "least": "8",
        "most": "12.5",
        "verdict": "over",
        "changed": "2.1",
        **changed,
    }


OLD = {
    "score": 87.5,
    "tasters": 3,
    "tables": 1,
    "usual": 84.0,
    "expected": 86.4,
    "low": 84.5,
    "high": 88.3,
    "drop": 1.1,
}


def test_a_measure_stands_with_its_limits_and_its_change() -> None:
    grid, small = physicals_blocks({"readings": [reading()], "by": "Odile"})

    assert isinstance(grid, Grid)
    assert [run.text for cell in grid.rows[0] for run in cell] == [
        "Moisture, % by mass",
        "10.8",
        "12.9",
        "over 12.5; +2.1",
    ]
    assert "Measured by Odile." in str(small)


def test_nothing_measured_is_nothing_said() -> None:
    assert physicals_blocks({}) == ()
    assert limits_text({}) == old_score_text({}) == ""
    assert limits_text({"readings": [reading(found="", verdict="not measured")]}) == ""


def test_what_lies_outside_is_said_with_its_unit_and_limit() -> None:
    dry = reading(measure="water_activity", found="0.71", most="0.70", least="", verdict="over")

    assert limits_text({"readings": [reading(), dry]}) == (
        "Moisture 12.9 % by mass is over 12.5; Water activity 0.71 is over 0.70."
    )


def test_what_lies_within_is_counted() -> None:
    within = reading(found="11", verdict="within", changed="0.2")
    free = reading(verdict="no limit", least="", most="", changed=None)

    assert limits_text({"readings": [within, within]}) == "2 measures within the limits."
    assert limits_text({"readings": [within, free]}) == (
        "1 measure within the limits, 1 against no limit."
    )
    assert limits_text({"readings": [free]}) == "1 measure taken, against no limit."


def test_a_finding_says_unchanged_under_and_one_sided_limits() -> None:
    rows = [
        reading(found="7", verdict="under", changed="-3.8"),
        reading(found="10.8", verdict="within", changed="0.0", most=""),
        reading(found="11", verdict="within", changed=None, least=""),
        reading(found="", verdict="not measured", changed=None),
    ]

    grid = physicals_blocks({"readings": rows})[0]

    assert isinstance(grid, Grid)
    assert [row[3][0].text for row in grid.rows] == [
        "under 8; -3.8",
        "within, at least 8; unchanged",
        "within, at most 12.5",
        "not measured",
    ]


def test_an_old_score_says_the_drop_that_needs_no_change() -> None:
    said = old_score_text({"old_score": OLD})

    assert "An old score of 87.5 by 3 tasters at 1 table" in said
    # Between tasters who do not, their leaning comes on top of it.
    assert "tasted again by tasters who score alike, expect 86.4" in said
    assert "expect 86.4, with nine in ten 84.5 to 88.3" in said
    assert "a drop of 1.1 needs no change in the coffee" in said
    assert said.endswith("It takes no part in the comparison side by side.")
    assert "no drop is to be expected" in old_score_text({"old_score": {**OLD, "drop": -0.4}})


def test_what_such_offers_score_is_said_only_where_somebody_said_so() -> None:
    assert f"such offers score {OLD['usual']:g}" in old_score_text({"old_score": OLD})

    said = old_score_text({"old_score": {**OLD, "assumed": True}})

    assert "what such offers score is not given" in said
