import pytest
from at_the_table import planned

from crustbreak.core.errors import NotNow, NotThere, NotYours
from crustbreak.ports.lab import Lab
from crustbreak.services.devices.codes import give_pass
from crustbreak.services.devices.join import (
    Invitation,
    become_helper,
    demand_recognised,
    find_device,
    hash_secret,
    read_invitation,
    recall_device,
    recognise,
    take_seat,
)
from crustbreak.services.tables.seats import refuse_device
from crustbreak.services.tables.views import view_table

SECRET, OTHER = "a" * 32, "b" * 32


def test_shows_the_seats_and_which_are_taken(lab: Lab) -> None:
    table = planned(lab, tasters=("Odile", "Anouk"))
    token = view_table(lab, table.id).invitation
    take_seat(lab, token, table.seats[1].id, SECRET)

    invitation = read_invitation(lab, token)

    assert invitation == Invitation(
        table=table,
        asks="Which of these is worth buying?",
        way="table",
        seats=table.seats,
        taken=frozenset({table.seats[1].id}),
    )


def test_recognises_the_phone_by_its_secret(lab: Lab) -> None:
    table = planned(lab)

    seated = take_seat(lab, view_table(lab, table.id).invitation, table.seats[0].id, SECRET)

    assert recognise(lab, SECRET) == seated
    assert (seated.seat.taster, seated.grip) == ("Odile", 1)


def test_finds_a_phone_that_is_not_recognised_and_says_so(lab: Lab) -> None:
    table = planned(lab)
    seat = table.seats[0]
    seated = take_seat(lab, view_table(lab, table.id).invitation, seat.id, SECRET)
    refuse_device(lab, table, seat.id, 1)

    assert recall_device(lab, SECRET) is None
    assert find_device(lab, SECRET) == recall_device(lab, SECRET) == seated
    demand_recognised(seated, frozenset({2}))
    for refused in (
        lambda: recognise(lab, SECRET),
        lambda: demand_recognised(seated, frozenset({1})),
    ):
        with pytest.raises(NotYours, match="not recognised"):
            refused()


def test_keeps_no_secret_in_the_clear(lab: Lab) -> None:
    table = planned(lab)
    take_seat(lab, view_table(lab, table.id).invitation, table.seats[0].id, SECRET)

    joinings = lab.repository.read(lambda records: records.joinings(table.id))

    assert [joining.secret_hash for joining in joinings] == [hash_secret(SECRET)]
    assert SECRET not in repr(joinings)


def test_hashes_as_fips_180_4_prints_it() -> None:
    # SHA-256 of "abc": FIPS 180-4's worked example (NIST example values for SHA-256).
    assert hash_secret("abc") == (
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    )


def test_gives_a_seat_once(lab: Lab) -> None:
    table = planned(lab)
    token = view_table(lab, table.id).invitation
    take_seat(lab, token, table.seats[0].id, SECRET)

    with pytest.raises(NotNow, match="Odile already has a phone"):
        take_seat(lab, token, table.seats[0].id, OTHER)


def test_gives_the_same_seat_to_a_phone_that_missed_the_answer(lab: Lab) -> None:
    table = planned(lab)
    token = view_table(lab, table.id).invitation

    first = take_seat(lab, token, table.seats[0].id, SECRET)
    again = take_seat(lab, token, table.seats[0].id, SECRET)

    assert first == again
    assert len(lab.repository.read(lambda records: records.joinings(table.id))) == 1


def test_gives_one_phone_one_seat(lab: Lab) -> None:
    table = planned(lab, tasters=("Odile", "Anouk"))
    token = view_table(lab, table.id).invitation
    take_seat(lab, token, table.seats[0].id, SECRET)

    with pytest.raises(NotNow, match="already sits as Odile"):
        take_seat(lab, token, table.seats[1].id, SECRET)


def test_knows_no_other_invitation_seat_or_secret(lab: Lab) -> None:
    table = planned(lab)
    token = view_table(lab, table.id).invitation

    with pytest.raises(NotThere):
        read_invitation(lab, token[:-1])
    with pytest.raises(NotThere):
        take_seat(lab, token, "0" * 32, SECRET)
    with pytest.raises(NotYours):
        recognise(lab, "guess")


def test_a_helper_has_no_seat(lab: Lab) -> None:
    table = planned(lab)

    helping = become_helper(lab, give_pass(lab, table, None).token, SECRET)

    assert recognise(lab, SECRET) == helping
    assert view_table(lab, table.id).seats[0].devices == ()
    assert len(view_table(lab, table.id).helpers) == 1


def test_gives_no_seat_of_another_table(lab: Lab) -> None:
    one, other = planned(lab), planned(lab)

    with pytest.raises(NotThere):
        take_seat(lab, view_table(lab, one.id).invitation, other.seats[0].id, SECRET)
