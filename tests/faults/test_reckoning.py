"""The reckoning finds what it is there to find."""

from typing import Any

import pytest
from phones import Phone
from reckoning import faults_between


def phone_that_heard(*words: str) -> tuple[Phone, dict[str, Any]]:
    """Give a phone that said one mark and heard these words for it, and the mark."""
    phone = Phone(0, host="lab.test", name="Odile")
    phone.seat = {"grip": 1}
    phone.say("ten_line/1", "mark", place="p1", line="flavor", round="hot", value=7.5)
    (said,) = phone.said.values()
    phone.answers[said["id"]] = [{"id": said["id"], "word": word} for word in words]
    return phone, said


def test_finds_nothing_where_all_is_well() -> None:
    phone, said = phone_that_heard("kept", "kept")

    assert faults_between([phone], [said]) == ()


@pytest.mark.parametrize(
    ("words", "times", "changed", "finds"),
    [
        (("kept",), 0, {}, "acknowledged and is missing"),
        (("kept",), 2, {}, "is kept 2 times"),
        (("kept", "set aside"), 1, {}, "was answered with ['kept', 'set aside']"),
        (("kept",), 1, {"value": 9.0}, "is kept as"),
    ],
)
def test_finds_what_is_wrong(
    words: tuple[str, ...], times: int, changed: dict[str, Any], finds: str
) -> None:
    phone, said = phone_that_heard(*words)

    (found,) = faults_between([phone], [{**said, **changed}] * times)

    assert finds in found
