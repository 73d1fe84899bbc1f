from typing import Any

import pytest

from crustbreak.questions.choose.text import (
    RANKED_FROM,
    TIE_FROM,
    answer_text,
    before_text,
    drop_text,
    finding_text,
    leaning_text,
    monetary_value_text,
    next_text,
    pair_text,
)


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["buy"], "Buy A."),
        (["decline", "decline"], "Decline A and B."),
        (["look again", "buy", "decline"], "Buy B. Taste A once more. Decline C."),
        (["buy", "buy", "buy"], "Buy A, B and C."),
    ],
)
def test_says_the_finding_in_sentences(words: list[str], sentence: str) -> None:
    said = [{"subject": subject, "word": word} for subject, word in zip("ABC", words, strict=False)]

    assert finding_text(said) == sentence


def suggesting(**words: str) -> dict[str, Any]:
    names = {name.replace("_", " ").title(): word.replace("_", " ") for name, word in words.items()}
    said = [{"coffee": name, "word": word} for name, word in names.items()]
    return {"suggestions": said}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ({"tarn": "buy"}, "Tarn lies over the cut-off."),
        ({"tarn": "buy", "fen": "buy"}, "Tarn and Fen lie over the cut-off."),
        (
            {"tarn": "decline", "fen": "look_again"},
            "Fen: this table cannot tell. Tarn lies under it.",
        ),
        ({}, "No sheet is complete: the table tells nothing."),
    ],
)
def test_says_what_the_table_answers(words: dict[str, str], said: str) -> None:
    assert answer_text(suggesting(**words)) == said


def test_says_what_to_do_next() -> None:
    best = {"say": "two more tasters", "coffees": ["Tarn"], "minutes": 92.0, "saved": 0.11}
    test = {"answer": "test", "regret": 0.19, "best": best, "menu": [best]}

    assert "The cheapest test for Tarn: two more tasters, about 92 minutes." in next_text(
        {"next_test": test}
    )
    assert "Nothing affordable will tell about Tarn" in next_text(
        {"next_test": {**test, "answer": "nothing affordable will tell"}}
    )
    assert next_text({"next_test": {"answer": "settled"}}).startswith("Nothing: ")


@pytest.mark.parametrize(
    ("drop", "found", "cost", "said"),
    [
        (0.32, 0, 0.3, ": 0.3 less for bad bowls that may yet come"),
        (0.9, 0, 0.01, ": 0.9 less because what comes out best was also lucky"),
        (0.01, 0, 0.0, ""),
        (0.9, 2, 1.0, ""),
    ],
)
def test_says_why_the_best_is_expected_to_drop(
    drop: float, found: int, cost: float, said: str
) -> None:
    assert drop_text({"drop": drop, "bad_bowls": {"found": found, "cost": cost}}) == said


STAKES = {"currency": "USD", "point_worth": 5.0, "hour_cost": 40.0, "per_point": [200.0]}


def test_says_in_money_what_a_test_saves_and_what_it_costs() -> None:
    best = {
        "say": "two more tasters",
        "coffees": ["Tarn"],
        "minutes": 92.0,
        "saved": 0.11,
        "gain": 418.0,
        "cost": 123.0,
    }
    test = {
        "answer": "test",
        "regret": 0.19,
        "loss": 722.0,
        "stakes": STAKES,
        "best": best,
        "menu": [best],
    }

    said = next_text({"next_test": test})
    nothing = next_text({"next_test": {**test, "answer": "nothing affordable will tell"}})
    settled = next_text({"next_test": {**test, "answer": "settled", "loss": 31.0}})

    assert "take USD 420 of the USD 720, for USD 120 of hours, off" in said
    assert "no test on the list saves what its hours cost" in nothing
    assert settled == "Nothing: a wrong decision costs USD 31 on average, less than any test."
    assert monetary_value_text(STAKES) == (
        "In money: a point is worth 5 % of the price, a taster's hour costs USD 40."
    )


def test_says_by_how_much_todays_tasters_lean_off_the_houses_scale() -> None:
    assert leaning_text(0.62) == " Today's tasters give 0.6 more than that scale."
    assert leaning_text(-0.3) == " Today's tasters give 0.3 less than that scale."
    assert leaning_text(0.0) == ""


def test_a_tie_at_the_cut_off_is_an_answer() -> None:
    tie = {"answer": "a tie", "tied": ["Tarn", "Fen"]}

    said = next_text({"next_test": tie})

    assert said.startswith("Nothing: Tarn and Fen lie so close to the cut-off that either")
    assert "A tie: decide by price and need." in said
    assert "Tarn lies so close" in next_text({"next_test": {**tie, "tied": ["Tarn"]}})


@pytest.mark.parametrize(
    ("beats", "ties", "said"),
    [
        (0.5, TIE_FROM, "Tarn and Fen: a tie, within 0.5 points of each other with 80 in 100"),
        (0.55, 0.79, "Tarn over Fen: 55 in 100, so they are not ranked"),
        (RANKED_FROM, 0.2, "Tarn over Fen: 80 in 100"),
    ],
)
def test_says_how_two_coffees_stand_to_each_other(beats: float, ties: float, said: str) -> None:
    assert pair_text("Tarn", "Fen", beats=beats, ties=ties, within=0.5) == said


def test_says_which_coffees_are_known_from_earlier_tables() -> None:
    coffees = [{"coffee": "Tarn", "before": 2}, {"coffee": "Fen", "before": 0}, {"coffee": "Old"}]

    assert before_text(coffees) == (
        "Tarn also stood at 2 earlier tables: all its looks and bowls count."
    )
    assert before_text(coffees[1:]) == ""
    many = [{"coffee": f"Coffee {nth}", "before": 1} for nth in range(5)]
    assert before_text([coffees[0], *many]).endswith(
        "5 coffees also stood at 1 earlier table: all their looks and bowls count."
    )


def test_a_coffee_that_stood_before_is_not_called_lucky() -> None:
    each = {"drop": 0.9, "before": 1, "bad_bowls": {"found": 0, "cost": 0.01}}

    assert drop_text(each) == ": 0.9 less because its earlier tables count, too"
