import pytest
from at_the_table import uncovered

from crustbreak.ports.lab import Lab
from crustbreak.services.telling import PANELS, what_it_can_tell


def test_says_before_the_table_what_it_can_tell(lab: Lab) -> None:
    before = what_it_can_tell(lab, "choose")
    uncovered(lab, tasters=("Odile", "Anouk"))
    after = what_it_can_tell(lab, "choose")

    assert [each.tasters for each in before] == list(PANELS)
    assert sorted(before, key=lambda each: -each.worth_believing) == list(before)
    # Common practice, no source: two coffees have to lie 1.6 points apart for three tasters with
    # a deviation of 1.0 each; the shipped priors have 0.95 and some doubt.
    assert before[2].worth_believing == pytest.approx(1.6, abs=0.25)
    assert (before[0].known_from, after[0].known_from) == (0, 1)


def test_says_nothing_of_a_sheet_of_which_nothing_is_assumed(
    lab: Lab, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(type(lab), "priors", lambda _lab, _ref: None)

    assert what_it_can_tell(lab, "choose") == ()


def test_more_coffees_and_fewer_bowls_tell_less(lab: Lab) -> None:
    few, many, bare = (
        what_it_can_tell(lab, "choose", coffees=coffees, bowls=bowls)[2]
        for coffees, bowls in ((5, 5), (14, 5), (14, 1))
    )

    # The studentized range at 95 % is 3.86 for five and 4.74 for fourteen: tables of it, as in
    # any handbook.
    assert many.best / few.best == pytest.approx(4.74 / 3.86, abs=0.01)
    assert many.worth_believing == few.worth_believing
    assert bare.worth_believing > many.worth_believing
