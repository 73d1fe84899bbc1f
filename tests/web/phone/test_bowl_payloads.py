from pathlib import Path

from at_a_match import match_lab, planned_match
from at_the_table import StandingClock, planned, under_way

from crustbreak.ports.lab import Lab
from crustbreak.services.tables.actions import look_at
from crustbreak.services.tables.bowl_notes import Note, note_bowl
from crustbreak.web.phone.bowl_payloads import (
    clocks_data,
    facts_data,
    place_text,
    run_data,
    since_pour_s,
    taste_from_data,
)


def test_gives_what_was_noted_and_what_was_noted_in_vain(lab: Lab, clock: StandingClock) -> None:
    table = under_way(lab)
    place = table.places[0]
    note_bowl(lab, table, Note(kind="bowl broken", place_id=place.id, cup=3))
    clock.pass_seconds(30)
    note_bowl(lab, table, Note(kind="water weighed", place_id=place.id, cup=1, figure=149.0))

    said = facts_data(look_at(lab, table.id)[1])

    assert [(each["kind"], each["cup"], each["figure"], each["is_vain"]) for each in said] == [
        ("water weighed", 1, 149.0, False),
        ("bowl broken", 3, None, True),
    ]
    assert said[0]["at_s"] == 30


def test_gives_the_plan_before_the_pour_and_each_bowls_own_clock_after_it(
    lab: Lab, clock: StandingClock
) -> None:
    table = planned(lab)
    before = clocks_data(table, look_at(lab, table.id)[1])
    assert [each["break_s"] - each["pour_s"] for each in before[:2]] == [240, 240]
    assert not any(each["is_broken"] for each in before)

    table = under_way(lab)
    clock.pass_seconds(100)
    place = table.places[0]
    note_bowl(lab, table, Note(kind="bowl poured", place_id=place.id, cup=2))
    state = look_at(lab, table.id)[1]
    late = clocks_data(table, state)[1]

    # Four minutes of steep: [S1].
    assert (late["pour_s"], late["break_s"], late["is_spilt"]) == (100, 340, False)
    assert late["taste_s"] == 100 + table.first_round_s
    assert taste_from_data(table, state)[place.id] == 100 + table.first_round_s


def test_a_moment_is_told_on_the_clock_of_the_table(lab: Lab, clock: StandingClock) -> None:
    poured = look_at(lab, under_way(lab).id)[1]
    clock.pass_seconds(75)

    assert since_pour_s(poured, clock.now()) == 75
    assert since_pour_s(poured, None) is None
    assert since_pour_s(look_at(lab, planned(lab).id)[1], clock.now()) is None


def test_gives_the_rounds_after_the_smell_from_the_first_place_that_may_be_tasted(
    lab: Lab,
) -> None:
    table = planned(lab)
    sheet = lab.sheet(table.sheet)

    run = run_data(table, look_at(lab, table.id)[1], sheet)

    assert (run["isPoured"], run["isBroken"]) == (False, False)
    assert [each["title"] for each in run["rounds"]] == [each.title for each in sheet.rounds[1:]]
    first = min(table.taste_from_s(place.id) for place in table.places)
    # Five to ten minutes from one to the next: common practice, no source.
    assert [each["from_s"] - first for each in run["rounds"]] == [0, 420, 840]


def test_an_open_bowl_is_called_so_where_it_is_due(tmp_path: Path) -> None:
    with match_lab(tmp_path / "match") as (lab, _):
        table = planned_match(lab)
        clocks = clocks_data(table, look_at(lab, table.id)[1])

    codes = [place.code for place in table.blind]
    assert [each["code"] for each in clocks] == [*codes, "the open bowl"]
    assert [place_text(place) for place in table.blind] == codes
