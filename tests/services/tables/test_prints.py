import pytest
from at_the_table import COFFEES, planned, uncovered, under_way

from crustbreak.core.errors import NotThere, NotYours
from crustbreak.domain.brewing.water import poured_g
from crustbreak.ports.lab import Lab
from crustbreak.reports.cards.cards import place_cards_pdf, setting_card_pdf
from crustbreak.reports.cards.tasting_sheet import paper_sheets_pdf
from crustbreak.services.tables.actions import table_set
from crustbreak.services.tables.keys import open_key_to_set
from crustbreak.services.tables.prints import (
    filling_card_of,
    paper_sheets_of,
    place_cards_of,
    setting_card_of,
)
from crustbreak.services.tables.views import view_table
from prints import pages


def ratings(lab: Lab, table_id: str) -> list[str]:
    events = lab.repository.read(lambda records: records.events(table_id))
    return [event.detail for event in events if event.kind == "key opened"]


def test_the_card_puts_the_coffees_where_the_key_does(lab: Lab) -> None:
    table = planned(lab, duplicate=True, controls=("Old Post",))

    card = setting_card_of(lab, table)

    names = open_key_to_set(lab, table)
    assert [(portion.code, portion.coffee) for portion in card.portions] == [
        (place.code, names[place.id]) for place in table.places
    ]
    assert [portion.coffee for portion in card.portions if portion.is_control] == ["Old Post"]
    assert (card.occasion, card.setter, card.recipe) == ("Morning offers", "Piet", table.recipe)


def test_printing_the_card_is_a_look_at_the_key_and_written_down(lab: Lab) -> None:
    table = planned(lab)
    setting_card_of(lab, table)
    table_set(lab, table)
    setting_card_of(lab, table)

    assert ratings(lab, table.id) == ["Piet", "Piet"]


def test_no_card_is_printed_after_the_pour_and_no_look_is_claimed(lab: Lab) -> None:
    table = under_way(lab)

    with pytest.raises(NotYours, match="sealed since the first pour"):
        setting_card_of(lab, table)

    assert ratings(lab, table.id) == []


def test_what_lies_on_the_table_opens_no_key(lab: Lab) -> None:
    table = under_way(lab)

    place_cards_of(lab, table)
    paper_sheets_of(lab, table)

    assert ratings(lab, table.id) == []


@pytest.mark.parametrize("name", ["Morning offers", *COFFEES, "Old Post"])
def test_no_name_is_on_what_lies_on_the_table(lab: Lab, name: str) -> None:
    # The occasion is the host's own and may name a coffee.
    table = planned(lab, controls=("Old Post",))

    said = " ".join(
        page
        for pdf in (
            place_cards_pdf(place_cards_of(lab, table)),
            place_cards_pdf(place_cards_of(lab, table, bowls=True)),
            paper_sheets_pdf(paper_sheets_of(lab, table)),
        )
        for page in pages(pdf)
    )

    assert name not in said
    # Two cards a code at least, and more on the sheets.
    assert all(said.count(place.code) > 5 for place in table.places)
    # The same reader does find it on the card that may name it.
    assert name in " ".join(pages(setting_card_pdf(setting_card_of(lab, table))))


def test_what_lies_on_the_table_is_made_of_the_table_alone(lab: Lab) -> None:
    table = planned(lab)
    before = [place_cards_of(lab, table), paper_sheets_of(lab, table)]

    assert not any(name in repr(before) for name in COFFEES)
    assert "Morning offers" not in repr(before)


def test_the_sheets_bear_the_codes_that_the_hosts_page_shows(lab: Lab) -> None:
    table = planned(lab, tasters=("Odile", "Anouk"))

    sheets = paper_sheets_of(lab, table)

    lines = view_table(lab, table.id).seats
    assert [(seat.taster, seat.code) for seat in sheets.seats] == [
        (line.seat.taster, line.paper_code) for line in lines
    ]
    assert sheets.verdicts == ("buy", "look again", "decline")


def test_one_seat_gets_its_sheet_with_its_own_code(lab: Lab) -> None:
    table = planned(lab, tasters=("Odile", "Anouk"))

    (seat,) = paper_sheets_of(lab, table, seat_id=table.seats[1].id).seats

    assert (seat.taster, seat.code) == ("Anouk", view_table(lab, table.id).seats[1].paper_code)
    with pytest.raises(NotThere, match="no such seat"):
        paper_sheets_of(lab, table, seat_id="nobody")


def test_the_card_of_an_uncovered_table_can_be_printed_again(lab: Lab) -> None:
    # Everybody may know by then, as on the card's own page.
    table = uncovered(lab)

    card = setting_card_of(lab, table)

    water_g = poured_g(table.recipe.water_ml, pour_c=table.recipe.pour_c)
    assert f"{water_g:.1f} g on the scale" in pages(setting_card_pdf(card))[0]


def test_the_filling_card_names_bowls_and_the_places_of_their_class(lab: Lab) -> None:
    table = planned(lab, numbered=True, order_classes=(2, 1, 1), controls=("Old Post",))

    card = filling_card_of(lab, table)

    assert [(each.coffee, each.bowls[0], each.places) for each in card.fillings] == [
        ("Sallow Bridge", 1, ("A", "C")),
        ("Fen Cross", 6, ("A", "C")),
        ("Old Post", 11, ("A", "C")),
        ("Marrow Hill", 16, ("D", "D")),
    ]
    assert [each.is_control for each in card.fillings] == [False, False, True, False]
