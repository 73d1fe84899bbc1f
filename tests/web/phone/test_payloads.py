from dataclasses import replace
from pathlib import Path

from at_a_match import APPROVED, ARRIVED, match_lab, planned_match
from at_the_table import (
    COFFEES,
    StandingClock,
    finish,
    planned,
    seated,
    send,
    under_way,
    whole_sheet,
)

from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import Answer
from crustbreak.services.devices.codes import give_pass
from crustbreak.services.devices.helper import view_help
from crustbreak.services.devices.join import become_helper
from crustbreak.services.devices.seat_view import view_seat
from crustbreak.services.results.taster_view import view_uncovered
from crustbreak.services.tables.actions import uncover
from crustbreak.web.phone.payloads import (
    answer_data,
    help_data,
    help_state_data,
    open_data,
    places_data,
    seat_data,
    sheet_data,
    state_data,
    uncovered_data,
)


def test_gives_a_seat_its_own_and_nobody_elses(lab: Lab) -> None:
    table = under_way(lab, tasters=("Odile", "Anouk"))
    one, other = seated(lab, table, 0), seated(lab, table, 1)
    send(lab, one, whole_sheet(lab, one)[:3])
    send(lab, other, whole_sheet(lab, other)[:5])

    data = sheet_data(lab, view_seat(lab, one))

    assert data.items() >= seat_data(one).items()
    assert len(data["entries"]) == 3
    assert "Anouk" not in str(data)
    assert not any(name in str(data) for name in COFFEES)


def test_gives_a_seat_its_own_walk_and_no_word_of_classes(lab: Lab) -> None:
    table = planned(lab, tasters=("Odile", "Anouk"), order_classes=(2, 1, 2))
    at = seated(lab, table, 1)
    tasting_order = table.seats[1].tasting_order

    data = sheet_data(lab, view_seat(lab, at))

    assert tasting_order is not None
    assert data["seat"]["walk"] == {"there": tasting_order.there, "back": tasting_order.back}
    assert tasting_order.there[0] == 0
    assert "class" not in str(data)
    assert set(data["places"][0]) == {"id", "code", "cups"}


def test_a_seat_of_an_older_table_has_no_walk(lab: Lab) -> None:
    at = seated(lab, planned(lab))

    older = replace(at, seat=replace(at.seat, tasting_order=None))

    assert seat_data(older)["seat"] == {"id": at.seat.id, "taster": "Odile", "walk": None}


def test_a_clock_that_was_put_back_lets_no_time_run_backwards(
    lab: Lab, clock: StandingClock
) -> None:
    table = under_way(lab)
    at = seated(lab, table)

    clock.pass_seconds(-3600)

    assert state_data(view_seat(lab, at))["since_pour_s"] == 0


def test_gives_the_state_as_one_seat_may_know_it(lab: Lab) -> None:
    table = under_way(lab)

    data = state_data(view_seat(lab, seated(lab, table)))

    assert data["since_pour_s"] == 0
    assert set(data["cups"]) == {place.id for place in table.places}
    assert (data["holds"], data["missing"], data["left_out"]) == (True, 0, None)


def test_gives_a_helper_codes_and_no_judgement(lab: Lab) -> None:
    table = planned(lab)
    side = view_help(lab, become_helper(lab, give_pass(lab, table, None).token, "c" * 32))

    data = help_data(lab, side)

    assert data["places"] == places_data(table.places)
    assert [place["code"] for place in data["places"]] == [place.code for place in table.places]
    # Four minutes: the protocol's steep, [S1].
    assert data["recipe"]["steep_s"] == 240
    assert data["state"] == help_state_data(lab, side)
    assert "seat" not in data["state"]
    assert not any(name in str(data) for name in (*COFFEES, "Odile"))


def test_gives_names_once_there_are_any(lab: Lab) -> None:
    table = under_way(lab)
    at = seated(lab, table)
    finish(lab, at)
    uncover(lab, table)

    data = uncovered_data(view_uncovered(lab, at))

    assert {coffee["coffee"] for coffee in data["coffees"]} == set(COFFEES)


def test_gives_an_answer_word_for_word() -> None:
    answer = Answer(entry_id="a" * 32, word="set aside", rule="a rule", remedy="Do this.")

    assert answer_data(answer) == {
        "id": "a" * 32,
        "word": "set aside",
        "rule": "a rule",
        "remedy": "Do this.",
    }


def test_a_seat_with_some_of_the_codes_is_told_of_no_other(lab: Lab) -> None:
    six = (*COFFEES, "Old Post", "Tarn Ostell", "Quarrow")
    table = under_way(lab, tasters=("Odile", "Anouk"), coffees=six, share=4)
    at = seated(lab, table)
    tasting_order = at.seat.tasting_order
    assert tasting_order is not None

    data = sheet_data(lab, view_seat(lab, at))

    own = [place["id"] for place in data["places"]]
    told = data["seat"]["walk"]
    assert [own[number] for number in told["there"]] == [
        table.places[number].id for number in tasting_order.there
    ]
    assert sorted(told["back"]) == [0, 1, 2, 3]
    assert data["subjects"] == tuple(own)


def test_says_beside_which_line_a_choice_is_asked(lab: Lab) -> None:
    side = view_seat(lab, seated(lab, planned(lab)))
    table = replace(side.seated.table, sheet="difference/1")

    data = sheet_data(lab, replace(side, seated=replace(side.seated, table=table)))

    lines = {line["id"]: line for line in data["sheet"]["lines"]}
    assert {name: line["beside"] for name, line in lines.items()} == {
        "difference": "",
        "direction": "difference",
        "differs": "difference",
        "note": "",
    }
    assert lines["direction"]["options"] == [
        {"id": word, "said": word} for word in ("better", "worse", "neither")
    ]


def test_a_bowl_that_stands_open_is_told_apart_from_those_that_are_marked(tmp_path: Path) -> None:
    with match_lab(tmp_path / "match") as (lab, _):
        table = planned_match(lab)
        seat = sheet_data(lab, view_seat(lab, seated(lab, table)))
        leave = give_pass(lab, table, None)
        helper = help_data(lab, view_help(lab, become_helper(lab, leave.token, "c" * 32)))

    (opened,) = [place for place in table.places if place.is_open]
    assert open_data(table) == [{"id": opened.id, "code": "open", "cups": 1}]
    assert seat["open"] == helper["open"] == open_data(table)
    assert opened.id not in [place["id"] for place in seat["places"]]
    # A helper pours it like the rest.
    assert helper["places"][-1]["id"] == opened.id
    assert not any(name in f"{seat}{helper}" for name in (APPROVED, ARRIVED))


def test_a_table_without_an_open_bowl_has_none(lab: Lab) -> None:
    assert open_data(planned(lab)) == []
