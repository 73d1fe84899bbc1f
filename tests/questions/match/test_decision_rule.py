"""The rule, and what is forecast of it."""

import pytest

from crustbreak.questions.match.decision_rule import (
    CANNOT_TELL,
    CLEAR,
    DIFFERENT,
    MOST_SITTINGS,
    OFTEN,
    SAME,
    WORSE,
    Promise,
    Spreads,
    decide_word,
    forecast_text,
    sittings_to_settle,
    way_of,
)
from crustbreak.questions.match.definition import MATCH

STEADY = Spreads(own=0.4, bowl=0.1, private=0.1)
USUAL = Spreads(own=0.8, bowl=0.0001, private=0.3)


@pytest.mark.parametrize(
    ("within_chance", "chance", "word"),
    [
        (0.96, 0.5, SAME),
        (0.95, 0.5, SAME),
        # A difference that is there and lies within d is none that matters.
        (0.96, 0.01, SAME),
        (0.94, 0.05, WORSE),
        (0.94, 0.051, CANNOT_TELL),
        (None, 0.01, WORSE),
        (None, None, CANNOT_TELL),
    ],
)
def test_same_comes_first_then_different_then_neither(
    within_chance: float | None, chance: float | None, word: str
) -> None:
    assert decide_word(within_chance=within_chance, chance=chance, level=0.05, way=WORSE) == word


def test_every_word_of_the_rule_is_a_verdict() -> None:
    words = {SAME, CANNOT_TELL, *(way_of(*each) for each in ((3, 0), (0, 3), (1, 1)))}

    assert words == set(MATCH.verdicts)


def test_a_way_is_named_where_twice_as_many_went_it() -> None:
    assert way_of(1, 2) == WORSE
    assert way_of(2, 3) == DIFFERENT
    assert way_of(0, 0) == DIFFERENT
    # One mark is no way.
    assert way_of(1, 0) == DIFFERENT


def test_a_difference_is_as_sure_as_its_bowls_and_tasters_make_it() -> None:
    spreads = Spreads(own=0.8, bowl=0.3, private=0.4)

    # By hand: 2 (0.09 + 0.64) / 3, and for two 2 (0.09 + 0.32) / 3 + 2 x 0.16 / 2.
    assert spreads.of_gap(bowls=3, tasters=1) ** 2 == pytest.approx(2 * 0.73 / 3)
    assert spreads.of_gap(bowls=3, tasters=2) ** 2 == pytest.approx(2 * 0.41 / 3 + 0.16)
    # Sittings lessen the first part alone.
    assert spreads.of_gap(bowls=3, tasters=2, sittings=4) ** 2 == pytest.approx(0.82 / 12 + 0.16)


def told(bowls: int, tasters: int = 1, spreads: Spreads = USUAL, level: float = 0.05) -> Promise:
    return forecast_text(bowls=bowls, tasters=tasters, within=1.5, level=level, spreads=spreads)


def test_more_bowls_and_more_tasters_tell_more() -> None:
    three, four, six, panel = told(3), told(4), told(6), told(3, tasters=3)

    assert three.found < four.found < six.found
    assert three.same < four.same < six.same
    assert three.found < panel.found
    assert (three.by_luck, four.by_luck) == (20, 70)


def test_fewer_ways_than_the_level_asks_for_find_nothing() -> None:
    assert told(3, level=0.025).found == 0


def test_steady_tasters_find_what_is_clear_with_three_bowls() -> None:
    promise = told(3, spreads=STEADY)

    assert promise.found > 0.95
    assert promise.smallest is not None
    assert promise.smallest < CLEAR
    assert promise.same > 0.95


def test_the_smallest_difference_is_found_often_and_nothing_below_it() -> None:
    promise = told(4)

    assert promise.smallest is not None
    assert promise.smallest <= CLEAR if promise.found >= OFTEN else promise.smallest > CLEAR


def test_what_is_told_is_told_again() -> None:
    assert told(3) == told(3)


def settled(gap: float, *, spreads: Spreads = USUAL, tasters: int = 1) -> int | None:
    return sittings_to_settle(
        gap=gap, spreads=spreads, bowls=(3,), tasters=tasters, within=1.5, certainty=0.9
    )


def test_a_small_difference_takes_more_sittings_than_a_clear_one() -> None:
    # At 0.8 it is neither surely within 1.5 nor surely there.
    clear, less = settled(3.0), settled(0.8)

    assert clear == 1
    assert less is not None
    assert less > 1


def test_no_number_of_bowls_by_the_same_tasters_mends_their_private_taste() -> None:
    private = Spreads(own=0.3, bowl=0.1, private=2.5)

    assert settled(1.0, spreads=private, tasters=2) is None
    assert MOST_SITTINGS == 4


def test_a_second_look_counts_the_bowls_of_both() -> None:
    first = told(3)
    second = forecast_text(bowls=3, tasters=1, within=1.5, level=0.025, spreads=USUAL, look=2)

    assert second.found > first.found
    assert second.same > first.same


def test_several_sittings_foretold_by_the_normal_curve_agree_with_one_of_as_many_bowls() -> None:
    # Six bowls of each at one sitting are counted out; the same six at two are not. No sitting
    # has anything of its own here, so that both tell about the same.
    one = told(6, level=0.025)
    two = forecast_text(bowls=3, tasters=1, within=1.5, level=0.025, spreads=USUAL, look=2)

    assert two.found == pytest.approx(one.found, abs=0.06)
    assert two.same == pytest.approx(one.same, abs=0.03)
