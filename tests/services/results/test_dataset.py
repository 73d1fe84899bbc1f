from dataclasses import replace

import pytest
from at_the_table import (
    COFFEES,
    StandingClock,
    finish,
    planned,
    read_numbers,
    seated,
    uncovered,
    under_way,
)
from many_tables import counted_statements

from crustbreak.analysis.dataset import Dataset
from crustbreak.core.errors import NotYours
from crustbreak.ports.lab import Lab
from crustbreak.services.lab.cache import MemoryCache
from crustbreak.services.results.dataset import (
    LOT_DAYS,
    MOST_TABLES,
    Basis,
    basis_of,
    control_dataset,
    dataset_of,
    dataset_on,
    dataset_with_history,
    history_version,
    known_lots,
    lab_history,
    most_of,
)
from crustbreak.services.results.duplicates import reveal_duplicate
from crustbreak.services.tables.actions import uncover
from crustbreak.services.tables.cut_off import move_cut_off


def test_gives_no_totals_while_codes_are_sealed(lab: Lab) -> None:
    table = under_way(lab)
    finish(lab, seated(lab, table))

    with pytest.raises(NotYours):
        dataset_of(lab, table)


def test_gives_every_look_with_its_coffee_after(lab: Lab) -> None:
    table = uncovered(lab, tasters=("Odile", "Anouk"))

    dataset = dataset_of(lab, table)

    assert len(dataset.ratings) == 6
    assert {rating.coffee.name for rating in dataset.ratings} == set(COFFEES)
    # Seven lines of 8.00 and three of ten points: 86.00 by the protocol's own sum, [S1].
    assert {rating.score.total for rating in dataset.ratings} == {86.0}


def test_earlier_tables_stand_beside_and_later_ones_do_not(lab: Lab, clock: StandingClock) -> None:
    tables = []
    for tasters in (("Odile",), ("Anouk",), ("Bram",)):
        tables.append(uncovered(lab, tasters=tasters))
        clock.pass_seconds(3600)
    open_one = under_way(lab)
    finish(lab, seated(lab, open_one))

    dataset: Dataset = dataset_with_history(lab, tables[1])

    assert dataset.at == tables[1].planned_at
    assert replace(dataset, priors=None, history=(), lots={}, at=None) == dataset_of(lab, tables[1])
    assert dataset.priors is not None
    assert [[rating.taster for rating in each.ratings[:1]] for each in dataset.history] == [
        ["Odile"]
    ]
    assert [each.ratings[0].taster for each in lab_history(lab, "ten_line/1")] == [
        "Bram",
        "Anouk",
        "Odile",
    ]
    assert lab_history(lab, "other/1") == ()
    assert MOST_TABLES > 40


def test_looks_at_one_answer_stay_however_many_tables_have_come_between(lab: Lab) -> None:
    one = planned(lab)
    others = [replace(one, id=f"other {nth}") for nth in range(MOST_TABLES)]
    ratings = [replace(one, id="look 2", follows="look 1"), replace(one, id="look 1")]
    old = replace(one, id="old")

    kept = most_of([*others, ratings[0], old, ratings[1]], follows="look 2")

    assert kept == (*others, *ratings)
    assert most_of([*others, *ratings], follows="") == tuple(others)
    assert most_of(ratings, follows="gone") == tuple(ratings)


def test_a_table_says_the_same_after_a_later_one(lab: Lab, clock: StandingClock) -> None:
    first = uncovered(lab)
    before = dataset_with_history(lab, first)
    clock.pass_seconds(3600)
    uncovered(lab, tasters=("Anouk",))

    assert dataset_with_history(lab, first) == before


def test_a_name_that_stood_lately_is_the_same_lot_and_an_old_one_is_not(
    lab: Lab, clock: StandingClock
) -> None:
    day_s = 24 * 3600
    uncovered(lab)
    clock.pass_seconds((LOT_DAYS - 1) * day_s)
    uncovered(lab)
    clock.pass_seconds(2 * day_s)
    today = dataset_with_history(lab, uncovered(lab))

    before = [today.lots_before(coffee) for coffee in today.coffees]

    assert [len(each) for each in before] == [1, 1, 1]
    assert [there.name for ((_, there),) in before] == [coffee.name for coffee in today.coffees]
    assert len(today.history) == 2


def test_before_the_names_only_the_control_has_looks(lab: Lab) -> None:
    table = under_way(lab, controls=("Old Post",))
    finish(lab, seated(lab, table))
    with pytest.raises(NotYours):
        control_dataset(lab, table)
    reveal_duplicate(lab, table)

    dataset = control_dataset(lab, table)

    assert (dataset.coffees, dataset.ratings) == ((), ())
    assert [rating.coffee.name for rating in dataset.control_ratings] == ["Old Post"]


def test_says_before_the_pour_which_names_stood_lately(lab: Lab, clock: StandingClock) -> None:
    first = planned(lab, controls=("Old Post",))
    assert known_lots(lab, first) == ()
    uncovered(lab)
    clock.pass_seconds(3600)
    second = planned(lab, controls=("Old Post",))
    told = known_lots(lab, second)
    clock.pass_seconds((LOT_DAYS + 1) * 24 * 3600)

    # The control is the same by its very meaning, and an open table tells nothing yet.
    assert told == tuple((name, 1) for name in COFFEES)
    assert known_lots(lab, planned(lab)) == ()


def test_what_a_frame_comes_from_is_known_before_it_is_worked_out(
    lab: Lab, clock: StandingClock
) -> None:
    tables = []
    for _ in range(2):
        tables.append(uncovered(lab))
        clock.pass_seconds(3600)

    basis: Basis = basis_of(lab, tables[1])
    version = history_version(lab, "ten_line/1")

    assert [each.id for each in basis.history] == [tables[0].id]
    assert dataset_on(lab, tables[1], basis) == dataset_with_history(lab, tables[1])
    assert basis_of(lab, tables[1]) == basis
    move_cut_off(lab, tables[0], 82.0, "A dearer market.")
    # What is moved on an earlier table counts, too.
    assert basis_of(lab, tables[1]) != basis
    assert history_version(lab, "ten_line/1") != version
    assert dataset_with_history(lab, tables[1]).history[0].cut_off == 82.0


def test_earlier_tables_are_read_in_as_many_statements_as_one(
    lab: Lab, clock: StandingClock
) -> None:
    asked = []
    for nth in range(1, 4):
        for _ in range(nth):
            uncovered(lab)
            clock.pass_seconds(60)
        with counted_statements() as statements:
            lab_history(replace(lab, cache=MemoryCache()), "ten_line/1")
        asked.append(len(statements))

    assert asked == [asked[0]] * 3


def test_history_of_numbered_and_of_keyed_tables_goes_together(
    lab: Lab, clock: StandingClock
) -> None:
    uncovered(lab)
    clock.pass_seconds(60)
    numbered = under_way(lab, numbered=True)
    finish(lab, seated(lab, numbered))
    read_numbers(lab, numbered, range(3))
    uncover(lab, numbered)

    history = lab_history(lab, "ten_line/1")

    assert [each.id == numbered.id for each in history] == [True, False]
    assert all(len(each.ratings) == 3 for each in history)
