import pytest
from at_the_table import planned

from crustbreak.core.errors import NotNow
from crustbreak.ports.lab import Lab
from crustbreak.services.devices.codes import find_by_code, give_pass
from crustbreak.services.devices.join import read_invitation, take_seat
from crustbreak.services.tables.passes import is_open, is_used, open_passes
from crustbreak.services.tables.views import view_table

SECRET = "a" * 32


def test_pass_hands_a_seat_over_once(lab: Lab) -> None:
    table = planned(lab)
    seat = table.seats[0]
    take_seat(lab, view_table(lab, table.id).invitation, seat.id, SECRET)
    leave = give_pass(lab, table, seat.id)

    token = find_by_code(lab, leave.code)
    invitation = read_invitation(lab, token)
    spare = take_seat(lab, token, seat.id, "b" * 32)

    assert (invitation.way, invitation.seats, invitation.taken) == ("seat", (seat,), frozenset())
    assert spare.grip == 2
    assert take_seat(lab, token, seat.id, "b" * 32) == spare
    with pytest.raises(NotNow, match="used already"):
        take_seat(lab, token, seat.id, "c" * 32)
    assert lab.repository.read(lambda records: is_used(records, leave))


def test_the_newest_pass_of_each_seat_opens_until_it_is_used(lab: Lab) -> None:
    table = planned(lab)
    give_pass(lab, table, None)
    newest = give_pass(lab, table, None)

    assert lab.repository.read(lambda records: open_passes(lab, records, table)) == (newest,)
    assert lab.repository.read(lambda records: is_open(lab, records, newest))
