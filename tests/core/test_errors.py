"""What is wrong is said in full, whatever it is."""

import pytest

from crustbreak.core.errors import (
    CrustbreakError,
    NotNow,
    NotThere,
    NotYours,
    OutOfRange,
    Problem,
    Unacceptable,
    nearest_word,
    refuse,
    told,
)

SHORT = Problem(where="Body of 527", rule="it is asked", found="nothing", remedy="Ask it.")
LONG = Problem(where="Note", rule="one page", found="two pages", remedy="Shorten it.")


def test_problem_reads_as_where_rule_found_and_remedy() -> None:
    assert str(SHORT) == "Body of 527: it is asked; found nothing. Ask it."


def test_nothing_wrong_refuses_nothing() -> None:
    refuse("The plan", ())


@pytest.mark.parametrize(
    ("problems", "message"),
    [
        ((SHORT,), "The plan has 1 thing to mend."),
        ((SHORT, LONG), "The plan has 2 things to mend."),
    ],
)
def test_refusal_counts_and_carries_every_problem(
    problems: tuple[Problem, ...], message: str
) -> None:
    with pytest.raises(Unacceptable) as refused:
        refuse("The plan", problems)

    assert refused.value.message == str(refused.value) == message
    assert refused.value.problems == problems
    assert refused.value.hint == "Ask it."


@pytest.mark.parametrize(
    ("kind", "status"),
    [(OutOfRange, 400), (Unacceptable, 422), (NotNow, 409), (NotYours, 403), (NotThere, 404)],
)
def test_every_error_is_ours_and_knows_its_status(kind: type[CrustbreakError], status: int) -> None:
    error = kind("It is so.", hint="Do this.")

    assert isinstance(error, CrustbreakError)
    assert (error.status, error.hint, error.problems) == (status, "Do this.", ())


def test_nearest_word_guesses_or_lists() -> None:
    known = ("flavor", "body", "balance")

    assert nearest_word("flavour", known) == "Did you mean flavor?"
    assert nearest_word("xyz", known) == "Known here: flavor, body, balance."


@pytest.mark.parametrize(
    ("found", "said"),
    [
        ("bitter", "bitter"),
        ("", "nothing"),
        (None, "nothing"),
        (7.5, "7.5"),
        (True, "True"),
        (float("nan"), "nan"),
        ("one\ntwo\u202e", "one?two?"),
        ("x" * 40, "x" * 40),
        ("x" * 41, "x" * 40 + "..."),
        (10**5000, "int, too long to write"),
    ],
    ids=lambda value: str(type(value).__name__),
)
def test_whatever_was_found_is_told_in_a_short_line(found: object, said: str) -> None:
    assert told(found) == said


def test_lists_in_lists_without_end_are_told_too() -> None:
    nested: list[object] = []
    for _ in range(100_000):
        nested = [nested]

    assert told(nested) == "list, too long to write"
