from dataclasses import replace
from xml.etree import ElementTree as ET

import pytest
from at_the_door import SETTINGS
from at_the_table import (
    COFFEES,
    StandingClock,
    finish,
    planned,
    read_numbers,
    said,
    seated,
    send,
    uncovered,
    under_way,
    whole_sheet,
)

from crustbreak.core.units import clock
from crustbreak.ports.lab import Lab
from crustbreak.services.results.duplicates import reveal_duplicate
from crustbreak.services.tables.actions import abandon, table_set
from crustbreak.services.tables.cut_off import move_cut_off
from crustbreak.services.tables.views import list_today, view_live, view_table
from crustbreak.web.host.plan.forms import blank_verdict
from crustbreak.web.host.table.page import (
    bowls_text,
    cut_off_view,
    deciding_view,
    duplicate_view,
    first_round_of,
    is_numbers_read,
    live_view,
    lot_texts,
    next_text,
    picture,
    table_view,
    title_of,
    today_view,
    words_text,
)
from crustbreak.web.host.table.seats import draw_qr, seat_text
from crustbreak.web.http.pages import fill


def test_says_the_next_act_in_every_state(lab: Lab) -> None:
    table = planned(lab)
    code = table.places[0].code
    sayings = [next_text(view_table(lab, table.id))]
    table_set(lab, table)
    sayings.append(next_text(view_table(lab, table.id)))

    running = under_way(lab)
    sayings.append(next_text(view_table(lab, running.id)))
    finish(lab, seated(lab, running))
    sayings.append(next_text(view_table(lab, running.id)))
    abandon(lab, running, "")
    sayings.append(next_text(view_table(lab, running.id)))

    assert sayings == [
        "Fill the bowls by the card.",
        f"Pour {code}, first bowl.",
        f"Skim. First round from {clock(first_round_of(view_table(lab, running.id)))}.",
        "All have called. Uncover.",
        "This table was given up.",
    ]


def test_says_how_far_a_seat_is(lab: Lab) -> None:
    table = under_way(lab)

    def seat() -> str:
        return seat_text(view_table(lab, table.id).seats[0])

    sayings = [seat()]
    at = seated(lab, table)
    sayings.append(seat())
    place = table.places[0].id
    send(lab, at, [said(at, 1, "mark", place=place, line="body", round="warm", value=8)])
    sayings.append(seat())
    send(lab, at, [said(at, 2, "hand_in"), said(at, 3, "call", place=place, value="buy")])
    sayings.append(seat())

    assert sayings == ["no phone yet", "has a phone", "1 in the lab", "handed in, 1 called"]


def test_draws_one_word_for_a_run_of_bowls_that_agree(lab: Lab, clock: StandingClock) -> None:
    table = under_way(lab)
    clock.pass_seconds(table.recipe.pace_s * 2)

    bowls = picture(view_table(lab, table.id))[0]["bowls"]

    assert [bowl["word"] for bowl in bowls] == ["", "", "broken", "", "bare grounds"]
    assert [bowl["drawing"] for bowl in bowls] == ["broken"] * 3 + ["bare"] * 2


def test_says_run_by_run_how_bowls_stand() -> None:
    def bowls(*words: str) -> list[dict[str, object]]:
        return [{"state": word, "next": word == "next"} for word in words]

    assert bowls_text(bowls("crust", "crust")) == "crust"
    assert bowls_text(bowls("next")) == "next"
    assert bowls_text(bowls("next", "crust", "crust", "empty")) == "1 next, 2 to 3 crust, 4 empty"
    differs = {"state": "crust", "next": False, "note": "differs"}
    assert bowls_text([*bowls("crust"), differs, *bowls("crust")]) == "crust; 2 differs"
    assert bowls_text([differs]) == "crust; differs"


def test_rings_the_bowl_that_is_next(lab: Lab) -> None:
    table = planned(lab)
    before = picture(view_table(lab, table.id))
    table_set(lab, table)

    after = picture(view_table(lab, table.id))

    assert not any(bowl["next"] for place in before for bowl in place["bowls"])
    assert after[0]["bowls"][0]["next"] is True
    assert after[0]["bowls"][0]["word"] == "next"


def test_gives_the_running_table_with_its_way_in(lab: Lab) -> None:
    table = under_way(lab)

    view = table_view(lab, view_table(lab, table.id), SETTINGS)

    token = lab.repository.read(lambda records: records.invitation(table.id))
    assert view["join_url"] == f"http://lab.test:8771/#{token}"
    assert view["here_url"] == f"http://127.0.0.1:8771/#{token}"
    assert len(view["code"]) == len("K7Q 2MV")
    assert view["since_s"] == 0
    # Four minutes: the protocol's steep, [S1].
    assert view["break_due"] == "4:00"


def test_gives_evidence_and_subjects_to_decide(lab: Lab) -> None:
    table = uncovered(lab)

    view = deciding_view(lab, view_table(lab, table.id), blank_verdict())

    assert view["subjects"] == COFFEES
    assert "86.00" in view["evidence"]
    assert view["verdict"] == {}


def test_parts_what_is_owed_from_what_is_done(lab: Lab) -> None:
    waiting = planned(lab)
    given_up = planned(lab)
    abandon(lab, given_up, "")

    today = today_view(lab, list_today(lab))

    assert [row["table"].id for row in today["owed"]] == [waiting.id]
    assert [row["table"].id for row in today["done"]] == [given_up.id]


def test_names_a_table_by_its_day_where_it_has_no_name(lab: Lab) -> None:
    table = replace(planned(lab), occasion="")

    assert title_of(table) == "Table of 4 March 2031"
    assert title_of(replace(table, occasion="Offers")) == "Offers"


@pytest.mark.parametrize(
    ("words", "saying"), [({}, ""), ({"One": "buy", "Two": "decline"}, "One: buy, Two: decline")]
)
def test_says_a_verdict_in_a_row(words: dict[str, str], saying: str) -> None:
    assert words_text(words) == saying


def test_draws_a_qr_code_that_needs_no_inline_style() -> None:
    drawn = draw_qr("http://lab.test:8771/#GvE8uipK3bN4yAFd1jzInw")

    assert ET.fromstring(drawn).tag.endswith("svg")
    assert "style" not in drawn


def test_says_the_figure_that_decides_and_what_became_of_it(lab: Lab) -> None:
    table = under_way(lab)
    before = cut_off_view(lab, view_table(lab, table.id))
    move_cut_off(lab, table, 81.0, "The price fell.")

    after = cut_off_view(lab, view_table(lab, table.id))

    assert (before["now"], before["moves"], before["movable"]) == (table.cut_off, [], True)
    assert after["now"] == 81.0
    assert after["moves"] == [
        f"The figure was moved from {table.cut_off:.2f} after the first pour: The price fell."
    ]


def test_offers_to_show_what_stood_twice_after_the_calls(lab: Lab) -> None:
    table = under_way(lab, duplicate=True)
    early = duplicate_view(lab, view_table(lab, table.id))
    finish(lab, seated(lab, table))
    called = duplicate_view(lab, view_table(lab, table.id))
    reveal_duplicate(lab, table)

    shown = duplicate_view(lab, view_table(lab, table.id))

    assert early == {"can_show_double": False, "doubles": []}
    assert called == {"can_show_double": True, "doubles": []}
    assert not shown["can_show_double"]
    (said_of_it,) = shown["doubles"]
    assert "were one coffee: Odile 0.00 apart." in said_of_it


def test_says_which_names_are_taken_for_earlier_lots_until_the_pour(
    lab: Lab, clock: StandingClock
) -> None:
    uncovered(lab)
    clock.pass_seconds(3600)
    table = planned(lab)

    early = lot_texts(lab, view_table(lab, table.id))
    running = under_way(lab)

    assert len(early) == 3
    assert all(said.endswith(" stood at 1 earlier table") for said in early)
    assert lot_texts(lab, view_table(lab, running.id)) == []


def test_the_first_round_is_when_the_first_place_is_cool_enough(lab: Lab) -> None:
    table = under_way(lab)

    at_s = first_round_of(view_table(lab, table.id))
    page = table_view(lab, view_table(lab, table.id), SETTINGS)

    assert at_s == table.taste_from_s(table.places[0].id)
    assert page["next"] == f"Skim. First round from {page['first_round']}."


def test_a_table_of_numbered_bowls_waits_for_its_numbers(lab: Lab) -> None:
    table = under_way(lab, numbered=True)
    finish(lab, seated(lab, table))
    assert not is_numbers_read(view_table(lab, table.id))
    assert next_text(view_table(lab, table.id)) == "All have called. Wash up, and read the numbers."

    read_numbers(lab, table, range(3))

    assert is_numbers_read(view_table(lab, table.id))
    assert next_text(view_table(lab, table.id), numbers_read=True) == "All have called. Uncover."
    assert not is_numbers_read(view_table(lab, under_way(lab).id))


def test_what_is_polled_is_what_the_page_began_with(lab: Lab) -> None:
    table = under_way(lab)
    at = seated(lab, table)
    send(lab, at, [*whole_sheet(lab, at)[:3], "nonsense"])

    polled = fill("host/live.html", live_view(lab, view_live(lab, table.id)))

    page = fill("host/live.html", table_view(lab, view_table(lab, table.id), SETTINGS))
    assert polled == page
    assert "3 in the lab" in polled
