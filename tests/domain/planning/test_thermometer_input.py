"""What is wrong with a reading before anything is worked out from it."""

from dataclasses import replace

import pytest

from crustbreak.core.errors import Problem
from crustbreak.domain.planning.thermometer_input import BowlDraft, check_bowl

GOOD = BowlDraft(
    kind="heavy ceramic",
    protocol="standard/1",
    name="",
    room_c=21.5,
    readings=((600.0, 62.5), (900.0, 56.0)),
)


def check(draft: BowlDraft) -> tuple[Problem, ...]:
    return check_bowl(draft, kinds=("heavy ceramic",), protocols=("standard/1",))


def test_one_or_two_whole_readings_are_looked_at() -> None:
    assert check(GOOD) == ()
    assert check(replace(GOOD, readings=GOOD.readings[:1])) == ()


@pytest.mark.parametrize(
    ("readings", "found"),
    [
        ((), "none"),
        (((600.0, None),), "0 whole and 1 half"),
        (((600.0, 62.5), (None, 56.0)), "1 whole and 1 half"),
        (((float("nan"), 62.5),), "0 whole and 1 half"),
        (((600.0, float("inf")),), "0 whole and 1 half"),
        (((600.0, 62.5),) * 3, "3 whole and 0 half"),
    ],
)
def test_half_a_reading_is_said_to_be_one(
    readings: tuple[tuple[float | None, float | None], ...], found: str
) -> None:
    (problem,) = check(replace(GOOD, readings=readings))

    assert (problem.where, problem.found) == ("Readings", found)


@pytest.mark.parametrize(
    ("changed", "where"),
    [
        ({"kind": "bucket"}, "Kind of bowl"),
        ({"protocol": ""}, "Protocol"),
        ({"name": "a" * 81}, "What to call it"),
        ({"room_c": None}, "Temperature of the room"),
        ({"room_c": float("nan")}, "Temperature of the room"),
        ({"room_c": 46.0}, "Temperature of the room"),
    ],
)
def test_says_what_is_wrong_with_what_goes_along(changed: dict[str, object], where: str) -> None:
    (problem,) = check(replace(GOOD, **changed))  # type: ignore[arg-type]

    assert problem.where == where
