"""Counts and choices in a plan's sentences."""

import pytest

from crustbreak.domain.planning.phrases import format_choice, format_count, format_list


@pytest.mark.parametrize(
    ("count", "said"),
    [(0, "0 bowls"), (1, "1 bowl"), (2, "2 bowls"), (1200, "1,200 bowls")],
)
def test_one_is_one_and_all_others_are_many(count: int, said: str) -> None:
    assert format_count(count, "bowl") == said


@pytest.mark.parametrize(
    ("phrases", "said"),
    [
        ((), ""),
        (("pour 2 h later",), "Pour 2 h later."),
        (("set 3", "go round 2 times", "spit"), "Set 3; or go round 2 times; or spit."),
    ],
)
def test_choices_become_one_sentence(phrases: tuple[str, ...], said: str) -> None:
    assert format_choice(phrases) == said


@pytest.mark.parametrize(
    ("phrases", "said"),
    [((), ""), (("a",), "a"), (("a", "b"), "a and b"), (("a", "b", "c"), "a, b and c")],
)
def test_several_things_are_said_in_a_row(phrases: tuple[str, ...], said: str) -> None:
    assert format_list(phrases) == said
