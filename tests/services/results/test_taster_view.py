import pytest
from at_the_table import COFFEES, finish, seated, uncovered, under_way

from crustbreak.core.errors import NotYours
from crustbreak.ports.lab import Lab
from crustbreak.services.devices.join import Seated
from crustbreak.services.results.decide import decide
from crustbreak.services.results.taster_view import Uncovered, UncoveredPlace, view_uncovered


def test_gives_a_taster_names_and_everybodys_totals(lab: Lab) -> None:
    table = uncovered(lab, tasters=("Odile", "Anouk"))

    seen = view_uncovered(lab, Seated(table=table, seat=table.seats[0], grip=1))

    assert isinstance(seen, Uncovered)
    assert all(isinstance(place, UncoveredPlace) for place in seen.places)
    assert {place.coffee for place in seen.places} == set(COFFEES)
    # 7 x 8.00 + 3 x 10 = 86.00, [S1].
    assert {place.own_total for place in seen.places} == {86.0}
    assert {place.others for place in seen.places} == {(("Anouk", 86.0),)}
    assert {place.own_call for place in seen.places} == {"buy"}
    assert seen.verdicts == {}


def test_tells_nothing_while_codes_are_sealed(lab: Lab) -> None:
    table = under_way(lab)
    at = seated(lab, table)
    finish(lab, at)

    with pytest.raises(NotYours):
        view_uncovered(lab, at)


def test_tells_the_verdict_once_there_is_one(lab: Lab) -> None:
    table = uncovered(lab)
    words = dict.fromkeys(COFFEES, "decline")
    decide(lab, table, words, reason="None of them.", decided_by="Piet")

    seen = view_uncovered(lab, Seated(table=table, seat=table.seats[0], grip=1))

    assert seen.verdicts == words
