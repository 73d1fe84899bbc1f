from itertools import product

import pytest
from at_the_table import StandingClock, planned, played, uncovered

from crustbreak.core.errors import NotNow, NotThere
from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.join_codes import PASS_LASTS, SIGNS
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import Pass
from crustbreak.services.devices.codes import (
    code_of,
    demand_open,
    find_by_code,
    fresh_code,
    give_pass,
)
from crustbreak.services.devices.join import recognise, take_seat
from crustbreak.services.tables.passes import is_open, open_passes
from crustbreak.services.tables.views import view_table

SECRET = "a" * 32


def guess_wrong(lab: Lab, times: int) -> None:
    for _ in range(times):
        with pytest.raises(NotThere):
            find_by_code(lab, "222222")


def kinds(lab: Lab, table: Table) -> list[str]:
    return [event.kind for event in lab.repository.read(lambda records: records.events(table.id))]


def test_code_leads_to_the_tables_token(lab: Lab) -> None:
    table = planned(lab)

    code = code_of(lab, table)

    assert code
    assert find_by_code(lab, code.lower()) == view_table(lab, table.id).invitation
    assert fresh_code(lab) != fresh_code(lab)


def test_code_ends_with_the_joining(lab: Lab) -> None:
    table = planned(lab)
    code = code_of(lab, table) or ""
    played(lab, table)

    assert code_of(lab, table) is None
    with pytest.raises(NotThere):
        find_by_code(lab, code)


def test_ten_wrong_codes_replace_the_code_and_tell_the_host(lab: Lab) -> None:
    table = planned(lab)
    old = code_of(lab, table) or ""
    guess_wrong(lab, 9)
    assert code_of(lab, table) == old

    guess_wrong(lab, 1)

    view = view_table(lab, table.id)
    assert code_of(lab, table) not in (old, None)
    assert view.replaced_at == lab.clock.now()
    assert kinds(lab, table) == ["code replaced"]
    with pytest.raises(NotThere):
        find_by_code(lab, old)


def test_wrong_codes_spread_over_time_replace_nothing(lab: Lab, clock: StandingClock) -> None:
    table = planned(lab)
    old = code_of(lab, table)

    for _ in range(25):
        guess_wrong(lab, 1)
        clock.pass_seconds(70)

    assert code_of(lab, table) == old


@pytest.mark.parametrize("wrong", [500, pytest.param(10_000, marks=pytest.mark.soak)])
def test_wrong_joins_let_nobody_in_and_lock_nobody_out(lab: Lab, wrong: int) -> None:
    table = planned(lab, tasters=("Odile", "Anouk"))
    token = view_table(lab, table.id).invitation
    at = take_seat(lab, token, table.seats[0].id, SECRET)
    guesses = ("".join(signs) for signs in product(SIGNS, repeat=6))

    got_in = 0
    for _, guess in zip(range(wrong), guesses, strict=False):
        try:
            find_by_code(lab, guess)
        except NotThere:
            continue
        got_in += 1

    assert got_in == 0
    assert recognise(lab, SECRET) == at
    assert take_seat(lab, token, table.seats[1].id, "b" * 32).seat.taster == "Anouk"
    assert find_by_code(lab, code_of(lab, table) or "") == token


def test_pass_is_for_its_own_seat(lab: Lab) -> None:
    table = planned(lab, tasters=("Odile", "Anouk"))
    leave = give_pass(lab, table, table.seats[0].id)

    with pytest.raises(NotThere):
        take_seat(lab, leave.token, table.seats[1].id, SECRET)
    with pytest.raises(NotThere):
        give_pass(lab, table, "0" * 32)


def test_no_pass_for_a_table_that_is_closed(lab: Lab) -> None:
    with pytest.raises(NotNow):
        give_pass(lab, uncovered(lab), None)


def test_pass_closes_with_time_and_with_a_replaced_code(lab: Lab, clock: StandingClock) -> None:
    table = planned(lab)
    old = give_pass(lab, table, None)
    clock.pass_seconds(PASS_LASTS.total_seconds())
    worn = give_pass(lab, table, None)
    clock.pass_seconds(1)
    guess_wrong(lab, 10)
    clock.pass_seconds(1)
    fresh = give_pass(lab, table, None)

    def is_open_now(leave: Pass) -> bool:
        return lab.repository.read(lambda records: is_open(lab, records, leave))

    assert [is_open_now(leave) for leave in (old, worn, fresh)] == [False, False, True]
    assert lab.repository.read(lambda records: open_passes(lab, records, table)) == (fresh,)
    with pytest.raises(NotNow):
        lab.repository.read(lambda records: demand_open(lab, records, worn))
