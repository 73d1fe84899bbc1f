import pytest
from at_the_table import finish, read_numbers, said, seated, send, uncovered, under_way

from crustbreak.core.errors import NotYours
from crustbreak.domain.records.numbered_bowls import BowlReading
from crustbreak.ports.lab import Lab
from crustbreak.services.tables.actions import uncover
from crustbreak.services.tables.blindness import blindness_of
from crustbreak.services.tables.bowl_numbers import read_bowls


def test_a_table_with_a_key_has_no_numbers_to_speak_of(lab: Lab) -> None:
    assert blindness_of(lab, uncovered(lab)) == {"numbered": None, "knew": []}


def test_tells_how_each_place_got_its_name(lab: Lab) -> None:
    table = under_way(lab, numbered=True)
    finish(lab, seated(lab, table))
    first, second, _ = (place.id for place in table.places)
    read_bowls(
        lab,
        table,
        [BowlReading(place_id=first, number=1), BowlReading(place_id=second, number=6, check=7)],
    )
    uncover(lab, table)

    numbered = blindness_of(lab, table)["numbered"]

    assert [place["doubts"] for place in numbered["places"]] == [
        ["not checked"],
        [],
        ["by elimination"],
    ]
    assert all(place["named"] for place in numbered["places"])
    assert [each["reason"] for each in numbered["read"]] == [""]


def test_tells_who_thought_to_know_which_code(lab: Lab) -> None:
    table = under_way(lab, tasters=("Odile", "Anouk"), numbered=True)
    for nth in range(2):
        at = seated(lab, table, nth)
        finish(lab, at)
        known = table.places[nth].id
        send(lab, at, [said(at, 900, "knew", place=known, value="yes")])
        # The second takes it back.
        send(lab, at, [said(at, 901, "knew", place=known, value=None)][:nth])
    read_numbers(lab, table, range(3))
    uncover(lab, table)

    assert blindness_of(lab, table)["knew"] == [{"taster": "Odile", "code": "A"}]


def test_says_nothing_while_codes_are_sealed(lab: Lab) -> None:
    with pytest.raises(NotYours):
        blindness_of(lab, under_way(lab, numbered=True))
