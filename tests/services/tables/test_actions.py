from collections.abc import Callable

import pytest
from at_the_table import (
    MORNING,
    StandingClock,
    finish,
    planned,
    read_numbers,
    seated,
    uncovered,
    under_way,
)

from crustbreak.core.errors import NotNow, NotThere, Unacceptable
from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.services.tables.actions import (
    Touch,
    abandon,
    all_skimmed,
    break_first,
    is_read,
    last_tap,
    look_at,
    pour_first,
    table_set,
    touch,
    uncover,
    undo_tap,
)


def undo_pour(lab: Lab, table: Table) -> None:
    undo_tap(lab, table, "poured")


def test_goes_from_planned_to_uncovered(lab: Lab) -> None:
    table = under_way(lab)
    assert look_at(lab, table.id)[1].flight == "under way"

    finish(lab, seated(lab, table))
    assert look_at(lab, table.id)[1].flight == "called"

    uncover(lab, table)
    assert look_at(lab, table.id)[1].flight == "uncovered"


@pytest.mark.parametrize("act", [pour_first, break_first, undo_pour, uncover])
def test_refuses_what_comes_too_early(lab: Lab, act: Callable[[Lab, Table], None]) -> None:
    table = planned(lab)

    with pytest.raises(NotNow) as refused:
        act(lab, table)

    assert refused.value.hint


def test_keeps_the_moments_of_the_two_taps(lab: Lab, clock: StandingClock) -> None:
    table = planned(lab)
    table_set(lab, table)
    pour_first(lab, table)
    poured = clock.now()
    clock.pass_seconds(240)
    break_first(lab, table)

    _, state = look_at(lab, table.id)

    assert (state.poured_at, state.broken_at) == (poured, clock.now())


def test_takes_the_break_back_before_the_pour(lab: Lab) -> None:
    table = under_way(lab)

    undo_tap(lab, table, "broken")
    after_one = look_at(lab, table.id)[1]
    undo_tap(lab, table, "poured")
    after_two = look_at(lab, table.id)[1]

    assert (after_one.broken_at, after_one.flight) == (None, "under way")
    assert (after_two.poured_at, after_two.flight) == (None, "set")


def test_skimming_is_said_once_after_the_break_and_taken_back_first(lab: Lab) -> None:
    table = planned(lab)
    table_set(lab, table)
    assert last_tap(look_at(lab, table.id)[1]) is None
    pour_first(lab, table)
    with pytest.raises(NotNow, match="No crust"):
        all_skimmed(lab, table)

    break_first(lab, table)
    all_skimmed(lab, table)

    assert last_tap(look_at(lab, table.id)[1]) == "skimmed"
    with pytest.raises(NotNow, match="skimmed already"):
        all_skimmed(lab, table)
    with pytest.raises(NotNow):
        undo_tap(lab, table, "broken")
    undo_tap(lab, table, "skimmed")
    assert last_tap(look_at(lab, table.id)[1]) == "broken"


def test_keeps_what_was_taken_back_in_the_books(lab: Lab) -> None:
    table = under_way(lab)
    undo_tap(lab, table, "broken")

    kinds = [event.kind for event in lab.repository.read(lambda records: records.events(table.id))]

    assert kinds == ["table set", "poured", "broken", "undone"]


def test_takes_no_tap_back_after_the_hand_in(lab: Lab) -> None:
    table = under_way(lab)
    finish(lab, seated(lab, table))

    with pytest.raises(NotNow) as refused:
        undo_tap(lab, table, "broken")

    assert "handed in" in refused.value.hint


def test_a_second_touch_of_undo_takes_no_other_tap_back(lab: Lab) -> None:
    table = under_way(lab)
    undo_tap(lab, table, "broken")

    with pytest.raises(NotNow):
        undo_tap(lab, table, "broken")

    assert look_at(lab, table.id)[1].flight == "under way"


def test_gives_no_table_up_for_a_reason_that_turns_the_paper_round(lab: Lab) -> None:
    table = under_way(lab)

    with pytest.raises(Unacceptable):
        abandon(lab, table, "spilt\u202e")

    assert look_at(lab, table.id)[1].flight == "under way"


def test_breaks_once(lab: Lab) -> None:
    table = under_way(lab)

    with pytest.raises(NotNow, match="broken already"):
        break_first(lab, table)


def test_does_not_uncover_before_every_taster_has_called(lab: Lab) -> None:
    table = under_way(lab, tasters=("Odile", "Anouk"))
    finish(lab, seated(lab, table, 0))

    with pytest.raises(NotNow, match="under way"):
        uncover(lab, table)


def test_gives_a_table_up_with_its_reason(lab: Lab) -> None:
    table = under_way(lab)

    abandon(lab, table, " spilt ")

    event = lab.repository.read(lambda records: records.events(table.id))[-1]
    assert (event.kind, event.detail) == ("abandoned", "spilt")
    assert look_at(lab, table.id)[1].flight == "abandoned"


def test_does_not_give_up_a_table_that_has_a_result(lab: Lab) -> None:
    table = uncovered(lab)

    with pytest.raises(NotNow):
        abandon(lab, table, "")


def test_says_that_a_table_is_not_there(lab: Lab) -> None:
    with pytest.raises(NotThere):
        look_at(lab, "0" * 32)


def test_touch_is_taken_at_its_own_moment_and_says_who_made_it(lab: Lab) -> None:
    table = planned(lab)
    table_set(lab, table)
    made = Touch(tap="poured", undoes=False, at=MORNING, by="helper 1")

    lab.repository.write(lambda records: touch(lab, records, table, made))

    act = lab.repository.read(lambda records: records.events(table.id))[-1]
    assert (act.kind, act.at, act.detail) == ("poured", MORNING, "helper 1")
    with pytest.raises(NotNow):
        lab.repository.write(lambda records: touch(lab, records, table, made))


def test_every_act_rings_for_whoever_listens(lab: Lab) -> None:
    table = planned(lab)
    rung: list[int] = []
    lab.notifier.listen(table.id, lambda: rung.append(1))

    table_set(lab, table)
    pour_first(lab, table)
    break_first(lab, table)
    abandon(lab, table, "")

    assert len(rung) == 4


def test_knows_whether_the_numbers_under_the_bowls_were_read(lab: Lab) -> None:
    table = under_way(lab, numbered=True)
    finish(lab, seated(lab, table))
    assert not lab.repository.read(lambda records: is_read(records, table))

    read_numbers(lab, table, range(3))

    assert lab.repository.read(lambda records: is_read(records, table))
