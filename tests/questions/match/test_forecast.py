"""What a table can tell is said before it is planned."""

from typing import Any

from bowls import bowls, difference_priors
from crustbreak.analysis.forecast_input import ForecastInput
from crustbreak.questions.match.forecast import forecast_match
from tables import difference


def asked(**changed: Any) -> ForecastInput:
    facts: dict[str, Any] = {
        "sheet": difference(),
        "bowls": 3,
        "tasters": 1,
        "cut_off": 1.5,
        "asked": {"certainty": 0.9},
        "priors": difference_priors(),
    }
    return ForecastInput(**{**facts, **changed})


def test_says_how_rarely_it_is_wrong_now_and_with_all_that_may_follow() -> None:
    said = " ".join(forecast_match(asked()))

    # 3 of 6 can be chosen in 20 ways; half of 1 - 0.9 is once in 20, the whole once in 10.
    assert "part without a slip by luck alone once in 20." in said
    assert "at most once in 20; with all further bowls together at most once in 10." in said


def test_a_second_look_has_half_the_chance_of_a_false_word_left() -> None:
    assert "at most once in 40;" in " ".join(forecast_match(asked(look=2)))


def test_says_what_will_be_found_and_from_what_it_knows() -> None:
    said = forecast_match(asked(bowls=5))

    assert said[2].startswith("A difference of 2 points is found with ")
    assert "8 times in 10" in said[2]
    assert "same within 1.5" in said[3]
    assert said[4].startswith("Worked out from what is assumed before the first table:")


def test_a_house_with_tables_of_its_own_is_told_by_them() -> None:
    before = tuple(bowls((0.5,) * 3, (2.0,) * 3, id=f"t{nth}") for nth in range(2))

    assert forecast_match(asked(history=before))[4].startswith("Worked out from 2 tables:")


def test_without_anything_assumed_only_the_rates_are_said() -> None:
    (said,) = forecast_match(asked(priors=None))

    assert "at most once in 20" in said
