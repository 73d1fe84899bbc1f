"""What the question of the approved coffee brings with it, and how rarely it may be wrong."""

from itertools import combinations

import pytest

from crustbreak.domain.planning.layout.places import PlaceDraft
from crustbreak.questions.match.definition import (
    BOWLS,
    CERTAINTIES,
    MATCH,
    a_code_a_bowl,
    by_luck,
    fewest_bowls,
    level_of,
)


def test_each_bowl_has_a_code_of_its_own() -> None:
    drafts = a_code_a_bowl(("approved", "arrived"), 3)

    assert drafts.count(PlaceDraft(coffee_id="approved", cups=1)) == 3
    assert drafts.count(PlaceDraft(coffee_id="arrived", cups=1)) == 3
    assert MATCH.places is a_code_a_bowl


@pytest.mark.parametrize("bowls", BOWLS)
def test_ways_to_stand_are_those_that_can_be_counted_out(bowls: int) -> None:
    # Every choice of which of the bowls are the candidate's, counted one by one.
    assert by_luck(bowls) == sum(1 for _ in combinations(range(2 * bowls), bowls))


def test_three_part_by_luck_once_in_twenty_and_four_once_in_seventy() -> None:
    # Six taken three at a time are 20, eight taken four 70: any table of binomial coefficients,
    # such as Pascal's triangle; from memory.
    assert (by_luck(3), by_luck(4)) == (20, 70)


def test_all_looks_together_stay_under_what_was_asked_for() -> None:
    for certainty in CERTAINTIES:
        looks = [level_of(certainty, look) for look in range(1, 40)]

        # A half, a quarter, an eighth ... of the whole sum up to the whole.
        assert sum(looks) == pytest.approx(1 - certainty)
        assert looks[0] == pytest.approx((1 - certainty) / 2)


def test_fewest_bowls_can_part_rarely_enough_and_one_fewer_cannot() -> None:
    # 1 in 20 is 0.05, 1 in 70 about 0.0143, 1 in 252 about 0.004; half of 0.1, 0.05 and 0.01 may
    # be used by the screening.
    assert {certainty: fewest_bowls(certainty) for certainty in CERTAINTIES} == {
        0.9: 3,
        0.95: 4,
        0.99: 5,
    }


def test_it_is_called_and_decided_as_one() -> None:
    assert not MATCH.each_coffee
    assert MATCH.certainties[0] == 0.9
    assert MATCH.cut_off_name == "Largest difference that still counts as the same"
