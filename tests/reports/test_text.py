import pytest

from crustbreak.reports.text import (
    format_count,
    format_day,
    format_gap,
    format_hundredths,
    format_in_100,
    format_list,
    format_moment,
    format_money,
    format_number,
    format_shares,
    format_tenth,
    format_terms,
)


@pytest.mark.parametrize(
    ("gap", "said"),
    [
        (1.5, "1.50 over"),
        (-0.25, "0.25 under"),
        (0.01, "0.01 over"),
        (0.0, "on it"),
        # Nothing is "0.00 over": to two places this is on it.
        (0.004, "on it"),
        (-0.004, "on it"),
    ],
)
def test_says_a_distance_from_the_cut_off(gap: float, said: str) -> None:
    assert format_gap(gap) == said


def test_says_days_and_moments_in_utc() -> None:
    assert format_day("2031-03-04T23:59:59.999Z") == "4 March 2031"
    assert format_moment("2031-03-04T09:05:00.000Z") == "4 March 2031, 09:05 UTC"


@pytest.mark.parametrize(
    ("words", "said"),
    [([], ""), (["One"], "One"), (["One", "Two"], "One and Two"), (list("abc"), "a, b and c")],
)
def test_says_several_things_in_a_row(words: list[str], said: str) -> None:
    assert format_list(words) == said


@pytest.mark.parametrize(
    ("chance", "short", "long"),
    [
        (0.0, "<1", "under 1 in 100"),
        (0.0099, "<1", "under 1 in 100"),
        (0.01, "1", "1 in 100"),
        (0.835, "84", "84 in 100"),
        (0.99, "99", "99 in 100"),
        (1.0, ">99", "over 99 in 100"),
    ],
)
def test_says_a_chance_and_never_that_it_is_certain(chance: float, short: str, long: str) -> None:
    assert (format_hundredths(chance), format_in_100(chance)) == (short, long)


def test_says_an_estimate_to_a_tenth() -> None:
    assert [format_tenth(value) for value in (84.96, 84.0)] == ["85.0", "84.0"]


@pytest.mark.parametrize(("count", "said"), [(0, "0 marks"), (1, "1 mark"), (2, "2 marks")])
def test_says_how_many(count: int, said: str) -> None:
    assert format_count(count, "mark") == said


@pytest.mark.parametrize(
    ("amount", "said"),
    [
        (1846.2, "USD 1,800"),
        (996.0, "USD 1,000"),
        (47.4, "USD 47"),
        (3.2, "USD 3"),
        (0.2, "under USD 1"),
        (1_250_000.0, "USD 1,200,000"),
    ],
)
def test_an_estimated_amount_has_two_figures(amount: float, said: str) -> None:
    assert format_money(amount, "USD") == said


def test_terms_say_what_is_known_of_them() -> None:
    assert format_terms(7.25, 1200.0, "EUR") == "EUR 7.25 a kilo, 1,200 kg"
    assert format_terms(7.0, None, "EUR") == "EUR 7.00 a kilo"
    assert format_terms(None, 22.5, "EUR") == "22.5 kg"
    assert format_terms(None, None, "EUR") == ""


def test_shares_are_said_with_how_much_they_keep() -> None:
    told = {"size": 3, "codes": 7, "times": [3, 3], "together": [1, 1], "efficiency": 14 / 18}

    # 14 of 18 is 78 in 100.
    assert format_shares(told) == (
        "Each taster tastes 3 of 7 codes, each code has 3 tasters and any two codes 1 of the same: "
        "on a difference that tells 78 in 100 of what as many tastings would if all tasted all."
    )
    assert "any two codes 0 to 2 of" in format_shares({**told, "together": [0, 2]})


def test_small_numbers_are_words() -> None:
    assert [format_number(count) for count in (0, 1, 7, 10, 11)] == [
        "no",
        "one",
        "seven",
        "ten",
        "11",
    ]
