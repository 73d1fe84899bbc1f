from at_the_table import COFFEES, finish, said, seated, send, under_way

from crustbreak.ports.lab import Lab
from crustbreak.services.devices.seat_view import SeatSide, view_seat


def test_shows_a_seat_its_own_entries_alone(lab: Lab) -> None:
    table = under_way(lab, tasters=("Odile", "Anouk"))
    one, other = seated(lab, table, 0), seated(lab, table, 1)
    place = table.places[0].id
    send(lab, one, [said(one, 1, "mark", place=place, line="note", round="hot", value="plum")])
    send(lab, other, [said(other, 1, "mark", place=place, line="note", round="hot", value="tar")])

    side: SeatSide = view_seat(lab, one)

    assert [entry.value for entry in side.entries] == ["plum"]
    assert "tar" not in repr(side.view)


def test_names_no_coffee_on_the_floor_before_the_uncovering(lab: Lab) -> None:
    table = under_way(lab)
    at = seated(lab, table)
    finish(lab, at)

    side = repr(view_seat(lab, at))

    assert not any(coffee in side for coffee in COFFEES)
