"""The sentences of the approved coffee: never surer than the bowls are."""

import pytest

from crustbreak.questions.match.definition import MATCH
from crustbreak.questions.match.text import (
    CANNOT_TELL,
    SAME,
    found_text,
    further_text,
    match_text,
    parted_text,
    ways_text,
    within_text,
)
from match_papers import BOWLS, COMPARED, CONTROL, bowl, evidence_data


@pytest.mark.parametrize("word", MATCH.verdicts)
def test_every_verdict_is_a_sentence_with_both_names(word: str) -> None:
    said = match_text(word, evidence_data())

    assert CONTROL in said
    assert COMPARED in said
    assert said.endswith(".")


def test_same_is_never_said_without_d() -> None:
    assert match_text(SAME, evidence_data(within=2.0)).endswith("within 2.")


def test_what_cannot_be_told_comes_with_what_would_settle_it() -> None:
    said = found_text(evidence_data(suggestion=CANNOT_TELL, more=6))

    assert said.startswith("These bowls cannot tell. 6 more bowls would settle it")
    assert "Not even four more sittings" in further_text(evidence_data(more=None))
    assert "Not one bowl of each" in further_text(evidence_data(difference=None))


def test_luck_is_counted_in_ways_and_the_rate_is_said_for_all_looks() -> None:
    said = parted_text(evidence_data())

    # 0.05 of 20 ways is one of them; a level of 0.05 is once in 20, and of 1 - 0.9 once in 10.
    assert "in 1 of 20 ways to stand" in said
    assert "once in 20 on this first look, and at most once in 10" in said
    assert "1.8 further from the open bowl than the control" in said


def test_what_was_drawn_is_not_said_to_be_counted() -> None:
    assert "drawn, not counted" in parted_text(evidence_data(is_exact=False, chance=0.03))


def test_a_coffee_nearer_to_the_open_bowl_is_said_to_be() -> None:
    said = parted_text(evidence_data(difference=-0.5, low=None, high=None))

    assert "0.5 nearer to the open bowl" in said
    assert "None" not in said


def test_without_a_difference_nothing_is_said_of_it() -> None:
    assert parted_text(evidence_data(difference=None)) == ""
    assert within_text(evidence_data(sure=None)) == ""


def test_a_chance_within_d_says_whose_it_is_and_from_when_on_it_is_the_same() -> None:
    said = within_text(evidence_data())

    assert said.startswith("To Odile, the difference is 1.7, with nine in ten 0.6 to 2.8")
    assert "within 1.5 with 34 in 100" in said
    assert "from 95 in 100 on" in said
    assert said.endswith("gives or takes 0.7.")


def test_ways_and_words_are_counted_beside_those_of_the_control() -> None:
    assert ways_text(evidence_data()) == (
        "Of 3 marks by which it differs: 3 worse; most of all in acidity (2) and off-note (1). "
        "The blind control got 3 marks above 0, too."
    )


def test_bowls_without_a_word_say_so() -> None:
    assert ways_text(evidence_data(bowls=[bowl("A", 0.0)])) == "No bowl of it was found to differ."
    said = ways_text(evidence_data(bowls=[bowl("A", 2.0)]))
    assert said == "Of 1 mark by which it differs: no way was given."
    assert len(BOWLS) == 6


def test_a_difference_that_is_there_and_small_is_said_to_be_both() -> None:
    small = within_text(evidence_data(suggestion=SAME, within_chance=0.99))
    none = within_text(evidence_data(suggestion=SAME, within_chance=0.99, chance=0.4))

    assert "A difference is there, and it is smaller than d." in small
    assert "A difference is there" not in none
    assert "A difference is there" not in within_text(evidence_data())
