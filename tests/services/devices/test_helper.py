from datetime import timedelta
from typing import Any

import pytest
from at_the_table import MORNING, StandingClock, finish, planned, said, seated

from crustbreak.core.errors import NotNow, NotThere
from crustbreak.core.units import utc_text
from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.services.devices.codes import give_pass
from crustbreak.services.devices.helper import (
    HelperSide,
    may_be_noted,
    receive_taps,
    view_help,
    what_can_be_tapped,
)
from crustbreak.services.devices.join import Helping, Seated, become_helper, recognise
from crustbreak.services.tables.actions import look_at, table_set
from crustbreak.services.tables.views import view_table

SECRET = "c" * 32


@pytest.fixture
def table(lab: Lab) -> Table:
    return planned(lab)


@pytest.fixture
def helping(lab: Lab, table: Table) -> Helping:
    return become_helper(lab, give_pass(lab, table, None).token, SECRET)


def tap(table: Table, no: int, kind: str, **what: Any) -> dict[str, Any]:
    at = Seated(table=table, seat=table.seats[0], grip=1)
    return {**said(at, no, kind), "sheet": "", **what}


def test_helper_is_known_by_its_secret_and_by_its_pass_once(lab: Lab, table: Table) -> None:
    leave = give_pass(lab, table, None)

    helping = become_helper(lab, leave.token, SECRET)

    assert recognise(lab, SECRET) == helping
    assert become_helper(lab, leave.token, SECRET) == helping
    with pytest.raises(NotNow):
        become_helper(lab, leave.token, "d" * 32)
    with pytest.raises(NotThere):
        become_helper(lab, give_pass(lab, table, table.seats[0].id).token, "d" * 32)
    with pytest.raises(NotThere):
        become_helper(lab, view_table(lab, table.id).invitation, "d" * 32)


def test_helper_taps_pour_and_break_and_takes_them_back(
    lab: Lab, table: Table, helping: Helping
) -> None:
    table_set(lab, table)
    kinds = [("poured", None), ("broken", None), ("undone", "broken"), ("undone", "poured")]

    seen = []
    for no, (kind, value) in enumerate(kinds, start=1):
        answers = receive_taps(lab, helping, [tap(table, no, kind, value=value)])
        seen.append((answers[0].word, view_help(lab, helping).can))

    assert seen == [
        ("kept", ("broken", "undo poured")),
        ("kept", ("skimmed", "undo broken")),
        ("kept", ("broken", "undo poured")),
        ("kept", ("poured",)),
    ]
    acts = lab.repository.read(lambda records: records.events(table.id))
    assert [act.detail for act in acts[1:]] == ["helper 1"] * 4


def test_tap_that_waited_for_the_network_is_taken_at_its_own_moment(
    lab: Lab, clock: StandingClock, table: Table, helping: Helping
) -> None:
    table_set(lab, table)
    clock.pass_seconds(300)
    # Made 120 s ago, by a clock that is ten minutes slow.
    made = utc_text(MORNING + timedelta(seconds=180 - 600))

    receive_taps(lab, helping, [tap(table, 1, "poured", device_time=made)], offset_ms=600_000)

    _, state = look_at(lab, table.id)
    assert state.poured_at == MORNING + timedelta(seconds=180)


@pytest.mark.parametrize(("device_s", "taken_s"), [(-9999, 0), (9999, 300)])
def test_tap_is_never_taken_before_the_table_was_set_or_after_now(
    lab: Lab, clock: StandingClock, table: Table, helping: Helping, device_s: int, taken_s: int
) -> None:
    table_set(lab, table)
    clock.pass_seconds(300)
    made = utc_text(MORNING + timedelta(seconds=device_s))

    receive_taps(lab, helping, [tap(table, 1, "poured", device_time=made)], offset_ms=0)

    _, state = look_at(lab, table.id)
    assert state.poured_at == MORNING + timedelta(seconds=taken_s)


def test_tap_that_does_not_fit_is_kept_and_told_why(
    lab: Lab, table: Table, helping: Helping
) -> None:
    early, odd = tap(table, 1, "poured"), tap(table, 2, "danced")

    answers = receive_taps(lab, helping, [early, odd, "nonsense"])
    again = receive_taps(lab, helping, [early])

    assert [answer.word for answer in answers] == ["set aside"] * 3
    assert all(answer.remedy for answer in answers)
    assert again == answers[:1]
    side: HelperSide = view_help(lab, helping)
    assert [each.kind for each in side.taps] == ["poured", "danced"]
    assert side.state.poured_at is None


def test_tap_sent_twice_pours_once_and_other_words_are_set_aside(
    lab: Lab, table: Table, helping: Helping
) -> None:
    table_set(lab, table)
    poured = tap(table, 1, "poured")

    first = receive_taps(lab, helping, [poured])
    again = receive_taps(lab, helping, [poured, {**poured, "kind": "broken"}])

    assert [answer.word for answer in (*first, *again)] == ["kept", "kept", "set aside"]
    kinds = [act.kind for act in lab.repository.read(lambda records: records.events(table.id))]
    assert kinds == ["table set", "poured"]


def test_nothing_can_be_tapped_before_the_bowls_are_filled_or_after_the_end(
    lab: Lab, table: Table, helping: Helping
) -> None:
    before = what_can_be_tapped(look_at(lab, table.id)[1])
    table_set(lab, table)
    receive_taps(lab, helping, [tap(table, 1, "poured")])
    finish(lab, seated(lab, table))

    assert before == ()
    assert view_help(lab, helping).can == ()


def note(table: Table, no: int, kind: str, **what: Any) -> dict[str, Any]:
    return tap(table, no, kind, place=table.places[0].id, cup=3, **what)


def test_helper_notes_a_bowl_and_takes_it_back_by_its_name(
    lab: Lab, clock: StandingClock, table: Table, helping: Helping
) -> None:
    table_set(lab, table)
    clock.pass_seconds(60)
    receive_taps(lab, helping, [tap(table, 1, "poured")])
    clock.pass_seconds(100)
    said = [
        note(table, 2, "bowl poured"),
        note(table, 3, "dose weighed", value="8,6"),
        note(table, 4, "bowl undone", value="1.2"),
    ]

    answers = receive_taps(lab, helping, said)

    assert [answer.word for answer in answers] == ["kept"] * 3
    noted = view_help(lab, helping).state.bowls.of((table.places[0].id, 3))
    assert {kind: fact.figure for kind, fact in noted.items()} == {"dose weighed": 8.6}


def test_what_two_helpers_noted_means_the_same_in_whatever_order_it_came(
    lab: Lab, clock: StandingClock
) -> None:
    seen = []
    for turned in (False, True):
        table = planned(lab)
        helpers = [
            become_helper(lab, give_pass(lab, table, None).token, secret * 32) for secret in "ef"
        ]
        table_set(lab, table)
        receive_taps(lab, helpers[0], [tap(table, 1, "poured", id=f"{table.id[:31]}0")])
        said = [
            (helpers[0], note(table, 2, "dose weighed", value="8.6")),
            (helpers[1], note(table, 1, "dose weighed", value="8.2")),
            (helpers[1], note(table, 2, "bowl undone", value="1.3")),
            (helpers[0], note(table, 3, "bowl spilt")),
        ]
        named = [
            (who, {**each, "id": f"{table.id[:28]}{who.grip:02}{nth:02}"})
            for nth, (who, each) in enumerate(said)
        ]
        for who, each in reversed(named) if turned else named:
            receive_taps(lab, who, [each])
        bowls = view_help(lab, helpers[0]).state.bowls
        seen.append([{k: f.figure for k, f in noted.items()} for noted in bowls.noted.values()])

    assert seen == [[{"dose weighed": 8.2}]] * 2


def test_what_is_no_bowl_or_no_figure_is_set_aside_and_told(
    lab: Lab, table: Table, helping: Helping
) -> None:
    said = [
        note(table, 1, "dose weighed", value="heavy"),
        tap(table, 2, "bowl spilt", place="elsewhere", cup=1),
    ]

    answers = receive_taps(lab, helping, said)

    assert [answer.word for answer in answers] == ["set aside"] * 2
    assert all(answer.remedy for answer in answers)
    assert may_be_noted(view_help(lab, helping).state)


def test_a_bowl_is_never_noted_before_the_table_was_planned_or_after_now(
    lab: Lab, clock: StandingClock, table: Table, helping: Helping
) -> None:
    clock.pass_seconds(300)
    for no, device_s in ((1, -9999), (2, 9999)):
        made = utc_text(MORNING + timedelta(seconds=device_s))
        kind = ("dose weighed", "bowl spilt")[no - 1]
        receive_taps(
            lab, helping, [note(table, no, kind, value="8.2", device_time=made)], offset_ms=0
        )

    noted = view_help(lab, helping).state.bowls.of((table.places[0].id, 3))
    assert [fact.at for fact in noted.values()] == [MORNING, MORNING + timedelta(seconds=300)]
