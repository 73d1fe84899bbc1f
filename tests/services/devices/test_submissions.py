import math
from typing import Any

import pytest
from at_the_table import finish, said, seated, send, uncovered, under_way, whole_sheet

from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import Answer
from crustbreak.services.devices.join import Seated
from crustbreak.services.devices.seat_view import view_seat
from crustbreak.services.devices.submissions import receive_entries, receive_later
from crustbreak.services.tables.actions import abandon


@pytest.fixture
def at(lab: Lab) -> Seated:
    return seated(lab, under_way(lab))


def flavor(at: Seated, no: int, value: Any = 8.0) -> dict[str, Any]:
    place = at.table.places[0].id
    return said(at, no, "mark", place=place, line="flavor", round="hot", value=value)


def words(lab: Lab, at: Seated, *things: Any) -> list[str]:
    return [answer.word for answer in receive_entries(lab, at, things)]


def test_keeps_a_whole_sheet(lab: Lab, at: Seated) -> None:
    marks = whole_sheet(lab, at)

    answers = send(lab, at, marks)

    assert [answer.word for answer in answers] == ["kept"] * len(marks)
    assert [answer.entry_id for answer in answers] == [mark["id"] for mark in marks]
    assert len(view_seat(lab, at).view.marks) == len(marks)


def test_answers_a_resend_as_before_and_stores_it_once(lab: Lab, at: Seated) -> None:
    first = words(lab, at, flavor(at, 1))

    again = words(lab, at, flavor(at, 1))

    assert (first, again) == (["kept"], ["kept"])
    assert receive_entries(lab, at, [flavor(at, 1)]) == (
        Answer(entry_id=flavor(at, 1)["id"], word="kept"),
    )
    assert len(lab.repository.read(lambda records: records.entries(at.table.id))) == 1


def test_sets_other_words_under_the_same_id_or_number_aside(lab: Lab, at: Seated) -> None:
    receive_entries(lab, at, [flavor(at, 1)])

    same_id = flavor(at, 1, 7.0)
    same_number = {**flavor(at, 1, 7.0), "id": "f" * 32}

    assert words(lab, at, same_id, same_number) == ["set aside", "set aside"]
    assert [mark.value for mark in view_seat(lab, at).view.marks] == [8.0]


def test_a_bad_entry_holds_up_no_other(lab: Lab, at: Seated) -> None:
    bad = flavor(at, 2, 8.1)

    assert words(lab, at, flavor(at, 1), bad, flavor(at, 3, 9.0)) == ["kept", "set aside", "kept"]


@pytest.mark.parametrize(
    "sent",
    [
        None,
        7,
        "text",
        [],
        {},
        {"id": "short"},
        {"id": ["a"], "grip": "1", "no": -1, "kind": {}},
    ],
)
def test_stores_what_is_no_entry_at_all_as_sent(lab: Lab, at: Seated, sent: object) -> None:
    answers = receive_entries(lab, at, [sent])

    kept = lab.repository.read(lambda records: records.set_asides(at.table.id))

    assert [answer.word for answer in answers] == ["set aside"]
    assert answers[0].remedy
    assert len(kept) == 1


@pytest.mark.parametrize("value", [math.nan, math.inf, True, 1e400, 10**400, [], "8", 5.75, 10.25])
def test_sets_a_value_off_the_scale_aside(lab: Lab, at: Seated, value: object) -> None:
    assert words(lab, at, flavor(at, 1, value)) == ["set aside"]


def test_stores_the_same_bad_entry_once(lab: Lab, at: Seated) -> None:
    receive_entries(lab, at, [flavor(at, 1, 5.0)])
    receive_entries(lab, at, [flavor(at, 1, 5.0)])

    assert len(lab.repository.read(lambda records: records.set_asides(at.table.id))) == 1


def test_sets_another_phones_number_aside(lab: Lab, at: Seated) -> None:
    assert words(lab, at, {**flavor(at, 1), "grip": 2}) == ["set aside"]


def test_sets_a_place_of_another_table_aside(lab: Lab, at: Seated) -> None:
    other = under_way(lab)
    foreign = {**flavor(at, 1), "place": other.places[0].id}

    assert words(lab, at, foreign) == ["set aside"]


def test_keeps_what_comes_after_the_uncovering_as_late(lab: Lab) -> None:
    table = uncovered(lab)
    before = lab.repository.read(lambda records: records.entries(table.id))
    at = Seated(table=table, seat=table.seats[0], grip=1)
    late = flavor(at, 900, 6.0)

    answers = receive_entries(lab, at, [late])

    after = lab.repository.read(lambda records: records.entries(table.id))
    assert (answers[0].word, len(after)) == ("kept late", len(before) + 1)
    assert 6.0 not in [mark.value for mark in view_seat(lab, at).view.marks]


def test_keeps_what_comes_after_giving_up_as_late(lab: Lab, at: Seated) -> None:
    abandon(lab, at.table, "spilt")

    assert words(lab, at, flavor(at, 1)) == ["kept late"]


def test_keeps_a_mark_made_after_the_hand_in_as_late(lab: Lab, at: Seated) -> None:
    answers = words(lab, at, flavor(at, 1), said(at, 2, "hand_in"), flavor(at, 3, 9.0))
    again = words(lab, at, flavor(at, 3, 9.0))

    assert (answers, again) == (["kept", "kept", "kept late"], ["kept late"])
    assert [mark.value for mark in view_seat(lab, at).view.marks] == [8.0]


def test_counts_a_mark_made_before_the_hand_in_that_comes_after_it(lab: Lab, at: Seated) -> None:
    receive_entries(lab, at, [said(at, 2, "hand_in")])

    assert words(lab, at, flavor(at, 1)) == ["kept"]
    assert [mark.value for mark in view_seat(lab, at).view.marks] == [8.0]


def test_sets_an_entry_of_another_seat_aside(lab: Lab) -> None:
    table = under_way(lab, tasters=("Odile", "Anouk"))
    one, other = seated(lab, table, 0), seated(lab, table, 1)
    receive_entries(lab, one, [flavor(one, 1)])

    assert words(lab, other, flavor(one, 1)) == ["set aside"]


def test_sets_a_hand_in_that_carries_something_aside(lab: Lab, at: Seated) -> None:
    assert words(lab, at, {**said(at, 1, "hand_in"), "value": "a" * 9000}) == ["set aside"]


def test_hands_in_and_calls(lab: Lab, at: Seated) -> None:
    finish(lab, at, call="decline")

    view = view_seat(lab, at).view

    assert (view.state, view.called) == ("handed in", True)
    assert set(view.calls.values()) == {"decline"}


def test_a_batch_can_be_queued_and_rings_once_it_is_kept(lab: Lab, at: Seated) -> None:
    rung: list[int] = []
    lab.notifier.listen(at.table.id, lambda: rung.append(1))

    mark, hand_in = (
        receive_later(lab, at, [said]) for said in (flavor(at, 1), said(at, 2, "hand_in"))
    )

    assert [answer.word for later in (mark, hand_in) for answer in later.result(10)] == ["kept"] * 2
    assert rung == [1]
