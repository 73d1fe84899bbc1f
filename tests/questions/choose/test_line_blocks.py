import pytest

from crustbreak.questions.choose.line_blocks import line_blocks, ratings_in, total_blocks
from papers import ALONE, coffee, evidence, spoken, taster


def test_a_coffee_without_a_total_says_so_and_what_is_missing() -> None:
    lacking = taster("Odile", None, missing=["Flavor", "Body"], call=None)
    line = {"title": "Flavor", "points": [None], "spread": None, "penalty": False}
    given = evidence(coffee(total=None, title=None, over=None, tasters=[lacking], lines=[line]))

    said = spoken(*total_blocks(given), *line_blocks(given))

    assert "No total" in said
    assert "Odile: Flavor and Body missing." in said
    assert ["Flavor", "missing", "none", "none"] in [line.split() for line in said.splitlines()]


def test_one_taster_has_no_spread() -> None:
    said = spoken(*total_blocks(evidence(coffee(total=ALONE, tasters=[taster("Odile", 85.0)]))))

    assert "one taster, so no spread" in said
    assert "deviation 0" not in said


def test_every_coffee_is_drawn_on_one_line_with_the_cut_off() -> None:
    low = coffee(coffee="Fen Cross", tasters=[taster("Odile", 70.0)])
    chart = total_blocks(evidence(coffee(), low))[0]

    # 70 to 86 with the cut-off at 84: whole points around them, one to spare, is 69 to 87.
    assert chart.title.endswith("on a line from 69 to 87 points; the cut-off is at 84.00")
    assert chart.said == (
        "Marrow Hill, stood as 204: mean 85.00.",
        "Fen Cross, stood as 204: mean 85.00.",
    )


def test_takes_the_totals_that_are_there() -> None:
    assert ratings_in(coffee(tasters=[taster("A", 84.0), taster("B", None)])) == (84.0,)


@pytest.mark.parametrize(
    ("judged", "bad", "said"),
    [
        (2, 0, "No bowl of 5 tainted or faulty."),
        (1, 0, "No bowl of 5 tainted or faulty. Taints and faults: judged by 1 of 2."),
        (0, 0, "Taints and faults: not judged by anyone."),
        (1, 2, "2 of 5 bowls tainted or faulty. Taints and faults: judged by 1 of 2."),
    ],
)
def test_says_of_bad_bowls_what_was_judged(judged: int, bad: int, said: str) -> None:
    text = spoken(*line_blocks(evidence(coffee(judged=judged, bad_bowls=bad))))

    assert said in text
    assert ("No bowl" in text) is (bad == 0 and judged > 0)


def test_one_complete_sheet_of_two_tasters_is_not_called_one_taster() -> None:
    both = [taster("Odile", 85.0), taster("Anouk", None, missing=["Body"])]

    said = spoken(*total_blocks(evidence(coffee(total=ALONE, tasters=both))))

    assert "one complete sheet, so no spread" in said
    assert "1 of 2 sheets complete" in said
    assert "one taster" not in said


def test_says_bad_bowls_flags_and_notes() -> None:
    given = taster("Odile", 85.0, flagged=["bowl 4 taint"], notes=["papery", "flat"])

    said = spoken(*line_blocks(evidence(coffee(bad_bowls=1, judged=1, tasters=[given], lines=[]))))

    assert "1 of 5 bowls tainted or faulty." in said
    assert "Odile: bowl 4 taint. papery; flat" in said
