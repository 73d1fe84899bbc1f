"""The numbers under the bowls: asked after the calls, kept each time, and the only key there is."""

import sqlite3
from contextlib import closing
from itertools import permutations
from pathlib import Path

import pytest
from at_the_table import (
    COFFEES,
    finish,
    opened_lab,
    planned,
    read_numbers,
    seated,
    under_way,
)

from crustbreak.core.errors import NotNow, NotYours, Unacceptable
from crustbreak.domain.records.numbered_bowls import BowlReading
from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.services.results.dataset import dataset_of
from crustbreak.services.tables.actions import look_at, uncover
from crustbreak.services.tables.bowl_numbers import last_reading, read_bowls
from crustbreak.services.tables.keys import bowls_to_fill, open_key_to_set


def called(lab: Lab) -> Table:
    table = under_way(lab, numbered=True, setter="Odile")
    finish(lab, seated(lab, table))
    return table


def names_at(lab: Lab, table: Table) -> dict[str, str]:
    return {rating.code: rating.coffee.name for rating in dataset_of(lab, table).ratings}


def kept_on_disk(folder: Path) -> list[str]:
    """Give all rows of both files, as text."""
    said = []
    for path in sorted(folder.glob("*.db")):
        with closing(sqlite3.connect(path)) as file:
            said += [line for line in file.iterdump() if line.startswith("INSERT")]
    return said


@pytest.mark.parametrize("order", list(permutations(range(3))))
def test_the_codes_get_the_names_of_the_bowls_that_were_read(lab: Lab, order: list[int]) -> None:
    table = called(lab)

    read_numbers(lab, table, order)
    uncover(lab, table)

    assert names_at(lab, table) == {
        code: COFFEES[bowl_group] for code, bowl_group in zip("ABC", order, strict=True)
    }


def test_nothing_that_is_kept_before_the_reading_determines_the_key(tmp_path: Path) -> None:
    # The same morning twice, down to the randomness; only what stood where was another.
    kept, told = [], []
    for order in ((0, 1, 2), (2, 0, 1)):
        folder = tmp_path / "".join(map(str, order))
        with opened_lab(folder) as (lab, _):
            table = called(lab)
            kept.append(kept_on_disk(folder))
            read_numbers(lab, table, order)
            uncover(lab, table)
            told.append(names_at(lab, table))

    assert kept[0] == kept[1]
    assert not any('INTO "keys"' in row or "INTO keys" in row for row in kept[0])
    assert told[0] != told[1]


def test_no_card_tells_what_stands_where(lab: Lab) -> None:
    table = planned(lab, numbered=True)

    with pytest.raises(NotNow, match="Nobody knows yet"):
        open_key_to_set(lab, table)
    assert [coffee.name for _, coffee in bowls_to_fill(lab, table)] == list(COFFEES)


def test_numbers_are_asked_after_the_calls(lab: Lab) -> None:
    table = under_way(lab, numbered=True)

    with pytest.raises(NotNow, match="The table is under way"):
        read_numbers(lab, table, range(3))


def test_no_name_before_the_numbers(lab: Lab) -> None:
    table = called(lab)

    with pytest.raises(NotNow, match="numbers under the bowls are not read"):
        uncover(lab, table)
    assert last_reading(lab, table) is None
    read_numbers(lab, table, range(3))
    with pytest.raises(NotYours):
        dataset_of(lab, table)


def test_a_faulty_reading_keeps_nothing(lab: Lab) -> None:
    table = called(lab)

    with pytest.raises(Unacceptable, match="The reading has 1 thing to mend"):
        read_bowls(lab, table, [BowlReading(place_id=table.places[0].id, number=99)])
    assert last_reading(lab, table) is None


def test_a_slip_is_mended_before_the_names_without_a_word(lab: Lab) -> None:
    table = called(lab)
    read_numbers(lab, table, (0, 1, 2))

    readings = read_numbers(lab, table, (1, 0, 2))
    uncover(lab, table)

    assert last_reading(lab, table) == readings
    assert names_at(lab, table)["A"] == COFFEES[1]


def test_after_the_names_a_slip_takes_a_reason_and_makes_new_evidence(lab: Lab) -> None:
    table = called(lab)
    read_numbers(lab, table, (0, 1, 2))
    uncover(lab, table)

    with pytest.raises(Unacceptable, match="The reason"):
        read_numbers(lab, table, (1, 0, 2))
    read_numbers(lab, table, (1, 0, 2), reason="A 9 was read as a 6.")

    assert names_at(lab, table)["A"] == COFFEES[1]
    assert look_at(lab, table.id)[1].flight == "uncovered"


def test_what_could_not_be_read_has_no_look(lab: Lab) -> None:
    table = called(lab)

    read_bowls(lab, table, [BowlReading(place_id=table.places[1].id, number=6, check=7)])
    uncover(lab, table)

    assert names_at(lab, table) == {"B": COFFEES[1]}


def test_a_table_with_a_key_has_no_numbers(lab: Lab) -> None:
    table = under_way(lab)
    finish(lab, seated(lab, table))

    with pytest.raises(NotNow, match="have no numbers"):
        read_bowls(lab, table, [])
