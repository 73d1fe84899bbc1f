"""Entries come and go as JSON, and nothing a device can send breaks anything."""

import json
from hashlib import sha256
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.core.errors import Problem
from crustbreak.domain.tables.entries import Entry
from crustbreak.exchange.entry_json import entry_data, entry_digest, is_count, read_entry
from tables import entry

ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inside: st.lists(inside, max_size=3) | st.dictionaries(st.text(max_size=4), inside),
    max_leaves=6,
)
SENT: dict[str, Any] = {
    "id": "0123456789abcdef0123456789abcdef",
    "grip": 1,
    "no": 7,
    "kind": "mark",
    "sheet": "ten_line/1",
    "place": "p1",
    "cup": None,
    "line": "flavor",
    "round": "hot",
    "value": 7.5,
    "device_time": "2031-03-04T12:00:07.000Z",
}


def read(raw: object) -> tuple[Entry | None, tuple[Problem, ...]]:
    return read_entry(raw, table_id="t1", seat_id="s1")


def nested(depth: int) -> list[Any]:
    inside: list[Any] = []
    for _ in range(depth):
        inside = [inside]
    return inside


def test_entry_is_read_as_it_was_sent() -> None:
    said, problems = read(SENT)

    assert problems == ()
    assert said is not None
    assert (said.table_id, said.seat_id, said.order) == ("t1", "s1", (1, 7))
    assert (said.place_id, said.line, said.round, said.value) == ("p1", "flavor", "hot", 7.5)
    assert entry_data(said) == SENT


@pytest.mark.parametrize(
    "said",
    [
        entry(1),
        entry(2, line="uniformity", cup=5, round="cool", value="differs"),
        entry(3, line="note", value="Caf\u00e9 \U0001f600\n\u202ertl"),
        entry(4, "hand_in"),
        entry(4, "new_call", value="buy", reason="At this price."),
        entry(5, "call", place_id="p2", value="look again"),
        entry(6, value=None),
    ],
    ids=lambda said: said.kind,
)
def test_entry_survives_the_way_over_the_network(said: Entry) -> None:
    sent = json.loads(json.dumps(entry_data(said)))

    assert read(sent) == (said, ())


def test_fields_that_may_be_empty_may_be_left_out() -> None:
    needed = ("id", "grip", "no", "kind", "sheet", "device_time")

    said, problems = read({name: SENT[name] for name in needed} | {"kind": "hand_in"})

    assert problems == ()
    assert said is not None
    assert (said.place_id, said.cup, said.line, said.round, said.value) == (None,) * 5


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("id", "0123"),
        ("id", SENT["id"].upper()),
        ("id", SENT["id"] + "\n"),
        ("id", 7),
        ("grip", 0),
        ("grip", True),
        ("grip", 1.0),
        ("no", -1),
        ("no", 2**53),
        ("no", "7"),
        ("kind", ""),
        ("kind", "x" * 81),
        ("sheet", None),
        ("place", 1),
        ("place", "half \ud800"),
        ("cup", 0),
        ("cup", True),
        ("cup", 1.5),
        ("line", ["flavor"]),
        ("round", ""),
        ("value", True),
        ("value", float("nan")),
        ("value", float("inf")),
        ("value", -float("inf")),
        ("value", 10**400),
        ("value", ["plum"]),
        ("value", "half \ud83d"),
        ("device_time", "noon"),
        ("device_time", "2031-03-04T12:00:07"),
        ("device_time", "2031-02-30T12:00:07Z"),
        ("device_time", "0001-01-01T00:00:00+14:00"),
        ("device_time", 1_930_000_000),
    ],
    ids=lambda value: value if isinstance(value, str) and value in SENT else type(value).__name__,
)
def test_field_of_the_wrong_kind_is_named_and_the_entry_not_read(name: str, value: object) -> None:
    said, problems = read({**SENT, name: value})

    assert said is None
    assert [problem.where for problem in problems] == [name]
    assert problems[0].found
    assert problems[0].remedy.startswith("It is stored as sent")


def test_every_fault_is_named_at_once() -> None:
    _, problems = read({"kind": "mark"})

    assert [problem.where for problem in problems] == ["id", "grip", "no", "sheet", "device_time"]


@pytest.mark.parametrize("raw", [None, [], "mark", 7, True, [SENT]])
def test_what_is_no_object_is_told_so(raw: object) -> None:
    said, (problem,) = read(raw)

    assert (said, problem.rule) == (None, "it is an object")


@given(ANYTHING)
def test_anything_sent_gets_an_answer_and_a_digest(raw: Any) -> None:
    said, problems = read(raw)

    assert (said is None) == bool(problems)
    assert len(entry_digest(raw)[1]) == 64


@given(st.sampled_from(sorted(SENT)), ANYTHING)
def test_any_field_gets_an_answer_and_comes_back_as_it_was(name: str, value: Any) -> None:
    sent = {**SENT, name: value}

    said, problems = read(sent)

    assert (said is None) == bool(problems)
    if said is not None and name != "device_time":
        assert entry_data(said) == sent
        json.dumps(entry_data(said), allow_nan=False).encode()


@pytest.mark.parametrize(
    "raw", [nested(5000), nested(100_000), 10**5000], ids=["deep", "deeper", "long"]
)
def test_what_cannot_even_be_written_gets_an_answer(raw: Any) -> None:
    text, digest = entry_digest({**SENT, "value": raw})

    assert digest == sha256(text.encode()).hexdigest()
    assert [problem.where for problem in read({**SENT, "value": raw})[1]] == ["value"]


def test_resent_entry_is_known_by_its_digest_whatever_the_order_of_fields() -> None:
    again = dict(reversed(json.loads(json.dumps(SENT)).items()))

    assert entry_digest(again) == entry_digest(SENT)
    assert entry_digest({**SENT, "value": 7.75}) != entry_digest(SENT)


def test_what_has_no_canonical_form_is_kept_as_it_came() -> None:
    text, digest = entry_digest({"value": float("inf"), "note": "\ud800"})

    assert text == "{'value': inf, 'note': '\\ud800'}"
    assert digest == sha256(text.encode()).hexdigest()


@pytest.mark.parametrize(
    ("value", "counts"),
    [(1, True), (2**53 - 1, True), (0, False), (2**53, False), (True, False), (1.0, False)],
)
def test_a_count_is_a_whole_number_from_one(value: object, counts: bool) -> None:
    # 2^53 - 1: the largest integer that JSON readers agree on, RFC 8259, section 6.
    assert is_count(value) is counts
