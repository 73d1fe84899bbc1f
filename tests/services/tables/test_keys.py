import ast
from dataclasses import replace
from pathlib import Path

import pytest
from at_a_match import APPROVED, match_lab, planned_match, tasted_match
from at_the_table import (
    COFFEES,
    finish,
    planned,
    read_numbers,
    seated,
    uncovered,
    under_way,
)

import crustbreak
from crustbreak.core.errors import NotNow, NotThere, NotYours
from crustbreak.domain.tables.blinding import Role
from crustbreak.ports.lab import Lab
from crustbreak.services.results.duplicates import reveal_duplicate
from crustbreak.services.tables.actions import table_set, uncover, undo_tap
from crustbreak.services.tables.keys import (
    bowls_to_fill,
    identified_bowls,
    open_coffee,
    open_control,
    open_duplicates,
    open_key,
    open_key_to_set,
    open_keys,
)
from crustbreak.services.tables.state import snapshot


def test_the_setter_sees_which_coffee_goes_under_which_code(lab: Lab) -> None:
    table = planned(lab)

    card = open_key_to_set(lab, table)

    assert sorted(card.values()) == sorted(COFFEES)
    assert set(card) == {place.id for place in table.places}


def test_writes_down_every_look_of_the_setter(lab: Lab) -> None:
    table = planned(lab)
    open_key_to_set(lab, table)
    table_set(lab, table)
    open_key_to_set(lab, table)

    events = lab.repository.read(lambda records: records.events(table.id))

    ratings = [event.detail for event in events if event.kind == "key opened"]
    assert ratings == ["Piet", "Piet"]


@pytest.mark.parametrize("role", list(Role))
def test_nobody_sees_it_once_there_is_water_on_the_grounds(lab: Lab, role: Role) -> None:
    table = under_way(lab)

    with pytest.raises(NotYours, match="sealed since the first pour"):
        open_key(lab, table, role)


def test_taking_the_pour_back_does_not_open_it_again(lab: Lab) -> None:
    table = under_way(lab)
    undo_tap(lab, table, "broken")
    undo_tap(lab, table, "poured")

    with pytest.raises(NotYours, match="sealed since the first pour"):
        open_key_to_set(lab, table)


def test_a_refused_look_leaves_no_trace_of_a_look(lab: Lab) -> None:
    table = under_way(lab)

    with pytest.raises(NotYours):
        open_key_to_set(lab, table)

    events = lab.repository.read(lambda records: records.events(table.id))
    assert "key opened" not in [event.kind for event in events]


@pytest.mark.parametrize("role", list(Role))
def test_everybody_may_know_after_the_uncovering(lab: Lab, role: Role) -> None:
    table = uncovered(lab)

    assert len(open_key(lab, table, role).coffee_of) == 3


def test_is_the_only_reader_of_the_key_box() -> None:
    source = Path(crustbreak.__file__).parent

    readers = {
        file.relative_to(source).as_posix()
        for file in source.rglob("*.py")
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute)
        and node.attr == "open"
        and isinstance(node.value, ast.Attribute)
        and node.value.attr == "keys"
    }

    assert readers == {"services/tables/keys.py"}


def test_what_stood_twice_is_told_after_the_calls_and_names_nothing(lab: Lab) -> None:
    table = under_way(lab, duplicate=True)
    finish(lab, seated(lab, table))
    with pytest.raises(NotYours, match="not told yet"):
        open_duplicates(lab, table)

    reveal_duplicate(lab, table)
    told = open_duplicates(lab, table)

    with pytest.raises(NotYours):
        open_key(lab, table, Role.HOST)
    coffee_of = lab.keys.open(table.id).coffee_of
    assert [len({coffee_of[place] for place in places}) for places in told] == [1]
    assert [len(places) for places in told] == [2]


def test_the_key_of_the_control_names_nothing_else(lab: Lab) -> None:
    table = under_way(lab, controls=("Old Post",))
    finish(lab, seated(lab, table))
    with pytest.raises(NotYours):
        open_control(lab, table)

    reveal_duplicate(lab, table)

    told = open_control(lab, table).coffee_of
    coffees = lab.repository.read(lambda records: records.coffees(table.id))
    assert [[each.name for each in coffees if each.id == one] for one in told.values()] == [
        ["Old Post"]
    ]


def test_says_what_goes_into_which_numbered_bowls_at_any_time(lab: Lab) -> None:
    table = under_way(lab, numbered=True)

    filled = bowls_to_fill(lab, table)

    assert [(coffee.name, bowl_group.bowls[0]) for bowl_group, coffee in filled] == [
        (name, first) for name, first in zip(COFFEES, (1, 6, 11), strict=True)
    ]


def test_bowls_of_a_table_with_a_key_have_no_numbers(lab: Lab) -> None:
    with pytest.raises(NotNow, match="have no numbers"):
        bowls_to_fill(lab, planned(lab))


def test_what_was_read_under_the_bowls_is_sealed_like_any_key(lab: Lab) -> None:
    table = under_way(lab, numbered=True)
    finish(lab, seated(lab, table))
    read_numbers(lab, table, (2, 1, 0))

    with pytest.raises(NotYours):
        identified_bowls(lab, table)
    with pytest.raises(NotYours):
        open_key(lab, table, Role.HOST)

    uncover(lab, table)
    washed = identified_bowls(lab, table)
    assert washed is not None
    assert open_key(lab, table, Role.HOST).coffee_of == washed.coffee_of


def test_a_double_in_numbered_bowls_is_known_once_they_are_read(lab: Lab) -> None:
    table = under_way(lab, numbered=True, duplicate=True)
    finish(lab, seated(lab, table))
    with pytest.raises(NotNow, match="are not read"):
        reveal_duplicate(lab, table)

    read_numbers(lab, table, (3, 2, 1, 0))
    reveal_duplicate(lab, table)

    ((first, second),) = open_duplicates(lab, table)
    coffees = [bowl_group.coffee_id for bowl_group, _ in bowls_to_fill(lab, table)]
    code_of = {place.id: place.code for place in table.places}
    # Read backwards: the place of the nth letter has the nth tray from the end.
    stood = dict(zip("ABCD", coffees[::-1], strict=True))
    assert stood[code_of[first]] == stood[code_of[second]]


@pytest.mark.parametrize("numbered", [False, True])
def test_everybody_may_know_what_stands_open(tmp_path: Path, *, numbered: bool) -> None:
    with match_lab(tmp_path) as (lab, _):
        table = planned_match(lab, numbered=numbered)

        opened = open_coffee(lab, table)

        assert opened is not None
        assert opened.name == APPROVED
        assert [place.code for place in table.places if place.is_open] == ["open"]


def test_nothing_stands_open_where_the_question_opens_nothing(lab: Lab) -> None:
    assert open_coffee(lab, planned(lab)) is None


def test_the_card_says_what_goes_into_the_open_bowl(tmp_path: Path) -> None:
    with match_lab(tmp_path) as (lab, _):
        table = planned_match(lab)

        card = open_key_to_set(lab, table)

        assert list(card.values()).count(APPROVED) == 4
        assert card[table.places[-1].id] == APPROVED


def test_the_open_bowl_has_no_number_to_be_read(tmp_path: Path) -> None:
    with match_lab(tmp_path) as (lab, _):
        table = planned_match(lab, numbered=True)
        tasted_match(lab, table, {APPROVED: (0, 1, 0), "Oskelan, arrival": (2, 2.5, 3)})

        washed = identified_bowls(lab, table)

        assert [len(bowl_group.bowls) for bowl_group, _ in bowls_to_fill(lab, table)] == [1] * 6
        assert washed is not None
        assert set(washed.coffee_of) == {place.id for place in table.blind}


def test_keys_are_opened_together_or_not_at_all(lab: Lab) -> None:
    done, running = uncovered(lab), under_way(lab)
    tables = {table.id: table for table in (done, running)}
    found = {
        each: lab.repository.read(lambda records, at=table: snapshot(lab, records, at))
        for each, table in tables.items()
    }

    keys = open_keys(lab, {done.id: done}, found, Role.HOST)

    assert keys == {done.id: open_key(lab, done, Role.HOST)}
    with pytest.raises(NotYours):
        open_keys(lab, tables, found, Role.HOST)
    unknown = replace(done, id="nobody's")
    with pytest.raises(NotThere):
        open_keys(lab, {unknown.id: unknown}, {unknown.id: found[done.id]}, Role.HOST)
