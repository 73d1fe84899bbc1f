"""What a table is asked beside the figure that decides."""

from dataclasses import dataclass

from crustbreak.domain.records.asked import NOTHING_ASKED, Asked


@dataclass(frozen=True, slots=True, kw_only=True)
class Target(Asked):
    score: float = 84.0


def test_nothing_is_read_kept_and_said() -> None:
    assert Asked.read({"score": "85"}) == NOTHING_ASKED
    assert NOTHING_ASKED.keep() == {"version": 1}
    assert (NOTHING_ASKED.typed(), NOTHING_ASKED.check(), NOTHING_ASKED.text()) == ({}, (), "")


def test_what_is_kept_comes_back() -> None:
    target = Target(score=85.0)

    assert target.keep() == {"version": 1, "score": 85.0}
    assert Target.restore(target.keep()) == target


def test_what_an_earlier_version_did_not_ask_is_as_usual() -> None:
    assert Target.restore({}) == Target()
    assert Target.restore({"version": 9, "score": 85.0, "later": True}) == Target(score=85.0)
