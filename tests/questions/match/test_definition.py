"""What the question of the approved coffee brings with it, and how rarely it may be wrong."""

from itertools import combinations

import pytest

from crustbreak.domain.planning.layout.places import PlaceDraft
from crustbreak.questions.match.definition import (
    BOWLS,
    CERTAINTIES,
    MATCH,
    MatchAsked,
    by_luck,
    fewest_bowls,
    level_of,
    usual_bowls,
)


def test_each_bowl_has_a_code_of_its_own() -> None:
    drafts = MATCH.layout.places(("approved", "arrived"), 3)

    assert drafts.count(PlaceDraft(coffee_id="approved", cups=1)) == 3
    assert drafts.count(PlaceDraft(coffee_id="arrived", cups=1)) == 3
    assert MATCH.is_single
    assert MATCH.open_places == 1


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
    assert MATCH.asked() == MatchAsked(certainty=0.9)
    assert MATCH.cut_off_name == "Largest difference that still counts as the same"


def test_a_certainty_is_typed_in_100_and_asked_again_as_typed() -> None:
    typed = [MatchAsked.read({"certainty": text}) for text in ("95", "", "much", "99,0")]

    assert [asked.certainty for asked in typed] == [0.95, 0.9, 0.9, 0.99]
    assert typed[0].typed() == {"certainty": "95"}
    assert typed[0].text() == "95 in 100 sure"


def test_a_certainty_that_is_not_offered_is_told_with_those_that_are() -> None:
    asked = MatchAsked(certainty=0.5)

    (problem,) = asked.check()

    assert (problem.where, problem.rule, problem.found) == (
        "How sure",
        "one of 90, 95, 99 in 100",
        "50",
    )
    # It is refused, and counted as the usual until then.
    assert usual_bowls(asked) == usual_bowls(MatchAsked()) == 3
    assert usual_bowls(MatchAsked(certainty=0.95)) == 4
    assert MatchAsked().check() == ()
