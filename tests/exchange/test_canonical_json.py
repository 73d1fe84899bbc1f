"""One way to write a record: the published examples, and our own records."""

import json
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from hashlib import sha256
from struct import unpack
from typing import Any

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.exchange.canonical_json import Altered, plain, read_record, write_json, write_record
from tables import NOON

JSON_VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53) + 1, 2**53 - 1)
    | st.floats(-(2.0**53), 2.0**53, exclude_min=True, exclude_max=True)
    | st.text(st.characters(exclude_categories=["Cs"])),
    lambda inside: (
        st.lists(inside)
        | st.dictionaries(st.text(st.characters(exclude_categories=["Cs"])), inside)
    ),
    max_leaves=12,
)


@dataclass(frozen=True, slots=True)
class Cup:
    code: str
    poured_at: datetime | None = None


def text_of(record: dict[str, Any]) -> str:
    return write_record(record)[0]


def duplicate(bits: str) -> float:
    value: float = unpack(">d", bytes.fromhex(bits))[0]
    return value


def test_published_sample_is_written_as_published() -> None:
    """Source: [S6], sections 3.2.2 and 3.2.3, the sample with numbers, string and literals."""
    sample = {
        "numbers": [333333333.33333329, 1e30, 4.50, 2e-3, 0.000000000000000000000000001],
        "string": "\u20ac$\u000f\u000aA'\u0042\u0022\u005c\\\"/",
        "literals": [None, True, False],
    }

    assert text_of(sample) == (
        '{"literals":[null,true,false],'
        '"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
        '"string":"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    )


def test_names_are_sorted_by_their_16_bit_units() -> None:
    """Source: [S6], section 3.2.3, the sorting example and its order."""
    names = {
        "\u20ac": "Euro Sign",
        "\r": "Carriage Return",
        "\ufb33": "Hebrew Letter Dalet With Dagesh",
        "1": "One",
        "\U0001f600": "Emoji: Grinning Face",
        "\u0080": "Control",
        "\u00f6": "Latin Small Letter O With Diaeresis",
    }

    assert list(json.loads(text_of(names)).values()) == [
        "Carriage Return",
        "One",
        "Control",
        "Latin Small Letter O With Diaeresis",
        "Euro Sign",
        "Emoji: Grinning Face",
        "Hebrew Letter Dalet With Dagesh",
    ]


# Source: [S6], appendix B.
@pytest.mark.parametrize(
    ("bits", "written"),
    [
        ("0000000000000000", "0"),
        ("8000000000000000", "0"),
        ("0000000000000001", "5e-324"),
        ("8000000000000001", "-5e-324"),
        ("7fefffffffffffff", "1.7976931348623157e+308"),
        ("ffefffffffffffff", "-1.7976931348623157e+308"),
        ("4340000000000000", "9007199254740992"),
        ("c340000000000000", "-9007199254740992"),
        ("4430000000000000", "295147905179352830000"),
        ("44b52d02c7e14af5", "9.999999999999997e+22"),
        ("44b52d02c7e14af6", "1e+23"),
        ("44b52d02c7e14af7", "1.0000000000000001e+23"),
        ("444b1ae4d6e2ef4e", "999999999999999700000"),
        ("444b1ae4d6e2ef4f", "999999999999999900000"),
        ("444b1ae4d6e2ef50", "1e+21"),
        ("3eb0c6f7a0b5ed8c", "9.999999999999997e-7"),
        ("3eb0c6f7a0b5ed8d", "0.000001"),
        ("41b3de4355555553", "333333333.3333332"),
        ("41b3de4355555554", "333333333.33333325"),
        ("41b3de4355555555", "333333333.3333333"),
        ("41b3de4355555556", "333333333.3333334"),
        ("41b3de4355555557", "333333333.33333343"),
        ("becbf647612f3696", "-0.0000033333333333333333"),
        ("43143ff3c1cb0959", "1424953923781206.2"),
    ],
)
def test_numbers_are_written_as_published(bits: str, written: str) -> None:
    assert text_of({"n": duplicate(bits)}) == f'{{"n":{written}}}'


# Source: [S6], appendix B: not a number and infinity have no form.
@pytest.mark.parametrize("bits", ["7fffffffffffffff", "7ff0000000000000"])
def test_numbers_without_a_form_are_refused(bits: str) -> None:
    with pytest.raises(rfc8785.FloatDomainError):
        write_record({"n": duplicate(bits)})


def test_half_a_sign_is_refused() -> None:
    with pytest.raises(ValueError, match="non-UTF-8"):
        write_record({"note": "\ud800"})


def test_digest_is_that_of_the_text() -> None:
    text, digest = write_record({"note": "Caf\u00e9"})

    assert text == '{"note":"Caf\u00e9"}'
    assert digest == sha256(b'{"note":"Caf\xc3\xa9"}').hexdigest()


@given(JSON_VALUES)
def test_what_was_written_is_read_back_and_written_the_same(value: Any) -> None:
    text, digest = write_record({"value": value})

    again = json.loads(text)
    assert again == {"value": value}
    assert write_record(again) == (text, digest)


@given(st.dictionaries(st.text(st.characters(exclude_categories=["Cs"])), st.integers(-9, 9)))
def test_order_of_names_does_not_matter(record: dict[str, int]) -> None:
    backwards = dict(reversed(record.items()))

    assert write_record(backwards) == write_record(record)


def test_records_tuples_and_moments_become_plain() -> None:
    cups = (Cup("527", NOON), Cup("814"))

    assert plain({"cups": cups, 1: {"of": True}}) == {
        "cups": [
            {"code": "527", "poured_at": "2031-03-04T12:00:00.000Z"},
            {"code": "814", "poured_at": None},
        ],
        "1": {"of": True},
    }


def test_same_moment_in_another_zone_is_the_same_text() -> None:
    east = timezone(timedelta(hours=7))
    noon = datetime(2031, 3, 4, 12, 0, tzinfo=UTC)

    assert text_of({"at": noon}) == text_of({"at": noon.astimezone(east)})


def test_record_is_left_as_it_was() -> None:
    record = {"b": [1, (2,)], "a": {"at": NOON}}

    write_record(record)

    assert record == {"b": [1, (2,)], "a": {"at": NOON}}
    assert list(record) == ["b", "a"]


def test_a_kept_record_is_read_as_it_was_written() -> None:
    text, digest = write_record({"reason": "plum \u2615", "total": 84.75})

    assert digest == sha256(text.encode()).hexdigest()
    assert read_record(text, digest) == {"reason": "plum \u2615", "total": 84.75}


def test_a_record_that_was_changed_is_not_read() -> None:
    text, digest = write_record({"total": 84.75})

    with pytest.raises(Altered) as refused:
        read_record(text.replace("84.75", "86.75"), digest)

    assert refused.value.hint


@given(st.dictionaries(st.text(st.characters(exclude_categories=["Cs"])), JSON_VALUES))
def test_what_is_json_already_is_written_the_same(value: dict[str, Any]) -> None:
    assert write_json(value) == write_record(value)
