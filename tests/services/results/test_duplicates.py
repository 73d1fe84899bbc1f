from collections import Counter

import pytest
from at_the_table import (
    COFFEES,
    finish,
    planned,
    played,
    said,
    seated,
    send,
    uncovered,
    under_way,
    whole_sheet,
)

from crustbreak.core.errors import NotNow, NotYours
from crustbreak.ports.lab import Lab
from crustbreak.services.devices.join import Seated
from crustbreak.services.devices.seat_view import view_seat
from crustbreak.services.results.decide import evidence_of, subjects_to_decide
from crustbreak.services.results.duplicates import (
    Twice,
    control_shown,
    may_have_duplicate,
    reveal_duplicate,
    what_stood_twice,
)
from crustbreak.services.results.taster_view import view_uncovered
from crustbreak.services.tables.actions import look_at, uncover


def test_a_table_with_more_codes_than_coffees_has_a_double(lab: Lab) -> None:
    assert may_have_duplicate(lab, planned(lab, duplicate=True))
    assert may_have_duplicate(lab, planned(lab, controls=("Old Post",)))
    assert not may_have_duplicate(lab, planned(lab))


def test_is_shown_after_the_calls_and_not_before(lab: Lab) -> None:
    table = under_way(lab, duplicate=True)
    with pytest.raises(NotNow):
        reveal_duplicate(lab, table)
    with pytest.raises(NotYours):
        what_stood_twice(lab, table)
    finish(lab, seated(lab, table))

    reveal_duplicate(lab, table)
    reveal_duplicate(lab, table)

    (twice,) = what_stood_twice(lab, table)
    assert isinstance(twice, Twice)
    assert len(twice.codes) == 2
    # All was marked alike: nothing lies between the two.
    assert twice.apart == (("Odile", 0.0),)
    assert look_at(lab, table.id)[1].flight == "called"


def test_says_how_far_apart_each_taster_had_them(lab: Lab) -> None:
    table = under_way(lab, duplicate=True, tasters=("Odile", "Anouk"))
    at = seated(lab, table, 0), seated(lab, table, 1)
    coffee_of = lab.keys.open(table.id).coffee_of
    stood = Counter(coffee_of.values())
    twice = next(place.id for place in table.places if stood[coffee_of[place.id]] == 2)
    finish(lab, at[0])
    marks = whole_sheet(lab, at[1])
    body = next(each for each in marks if (each["place"], each["line"]) == (twice, "body"))
    body["value"] += 0.5
    last = len(marks)
    calls = [
        said(at[1], last + 2 + nth, "call", place=place.id, value="buy")
        for nth, place in enumerate(table.places)
    ]
    send(lab, at[1], [*marks, said(at[1], last + 1, "hand_in"), *calls])
    reveal_duplicate(lab, table)

    (found,) = what_stood_twice(lab, table)

    assert found.apart == (("Odile", 0.0), ("Anouk", 0.5))


def test_a_call_made_since_does_not_count(lab: Lab) -> None:
    table = under_way(lab, duplicate=True)
    at = seated(lab, table)
    finish(lab, at, call="buy")
    reveal_duplicate(lab, table)
    place = table.places[0].id

    (answer,) = send(lab, at, [said(at, 900, "call", place=place, value="decline")])
    uncover(lab, table)

    assert answer.word == "kept late"
    assert view_seat(lab, at).view.calls[place] == "buy"
    calls = {
        each["call"] for coffee in evidence_of(lab, table)["coffees"] for each in coffee["tasters"]
    }
    assert calls == {"buy"}


def test_the_evidence_has_both_looks_and_how_alike_they_are(lab: Lab) -> None:
    table = under_way(lab, duplicate=True)
    finish(lab, seated(lab, table))
    uncover(lab, table)

    evidence = evidence_of(lab, table)

    (duplicate,) = evidence["doubles"]
    twice = next(each for each in evidence["coffees"] if each["coffee"] == duplicate["coffee"])
    assert twice["code"] == " and ".join(duplicate["codes"])
    assert (twice["bowls"], twice["total"]["count"]) == (10, 2)
    assert duplicate["apart"] == [{"taster": "Odile", "points": 0.0}]
    assert 0.5 < duplicate["within"] < 4
    assert len(evidence["coffees"]) == 3


def test_a_table_without_one_says_nothing_of_it(lab: Lab) -> None:
    table = uncovered(lab)

    assert what_stood_twice(lab, table) == ()
    assert evidence_of(lab, table)["doubles"] == []


def test_the_control_says_how_the_table_stands_beside_earlier_ones(lab: Lab) -> None:
    played(lab, planned(lab, controls=("Old Post",)))
    table = under_way(lab, controls=("old post",))
    finish(lab, seated(lab, table), points=7.75)
    with pytest.raises(NotYours):
        control_shown(lab, table)

    reveal_duplicate(lab, table)
    (control,) = control_shown(lab, table)

    # Seven lines of 7.75 or 8.00, and three of ten: by the protocol's own sum, [S1].
    assert (control.today, control.usual, control.tables) == (84.25, 86.0, 1)
    assert control.coffee == "old post"


def test_nobody_decides_about_the_control(lab: Lab) -> None:
    table = planned(lab, controls=("Old Post",))
    played(lab, table)

    evidence = evidence_of(lab, table)

    assert subjects_to_decide(lab, table) == COFFEES
    assert {each["coffee"] for each in evidence["coffees"]} == set(COFFEES)
    assert [each["coffee"] for each in evidence["controls"]] == ["Old Post"]
    seen = view_uncovered(lab, Seated(table=table, seat=table.seats[0], grip=1))
    assert "Old Post" in {place.coffee for place in seen.places}
