"""Entries as JSON, on the way in and out."""

import re
from collections.abc import Mapping
from hashlib import sha256
from typing import Any, TypeGuard

from crustbreak.core.errors import Problem, told
from crustbreak.core.units import utc_moment, utc_text
from crustbreak.domain.tables.entries import Entry
from crustbreak.exchange.canonical_json import write_json

ID_SHAPE = re.compile(r"[0-9a-f]{32}")
HALF_SIGN = re.compile(r"[\ud800-\udfff]")
# The largest whole number that JSON readers agree on.
LARGEST = 2**53


def entry_digest(raw: object) -> tuple[str, str]:
    """Return what was sent as one text, and its SHA-256, so that a resend is known as one."""
    try:
        return write_json({"entry": raw})
    except (ValueError, RecursionError):
        # A number beyond JSON's, say: no canonical form, yet it is stored as it came.
        text = _as_it_came(raw)
        return text, sha256(text.encode("utf-8", "replace")).hexdigest()


def _as_it_came(raw: object) -> str:
    try:
        return repr(raw)
    except (ValueError, RecursionError):
        return told(raw)


def read_entry(
    raw: object, *, table_id: str, seat_id: str
) -> tuple[Entry | None, tuple[Problem, ...]]:
    """Read one entry as a device sent it: the entry, or every fault of its shape."""
    if not isinstance(raw, Mapping):
        return None, (_fault("entry", "it is an object", raw),)
    faults = tuple(
        _fault(name, rule, raw.get(name))
        for name, rule, holds in _SHAPE
        if not holds(raw.get(name))
    )
    if faults:
        return None, faults
    return (
        Entry(
            id=raw["id"],
            table_id=table_id,
            seat_id=seat_id,
            grip=raw["grip"],
            no=raw["no"],
            kind=raw["kind"],
            sheet=raw["sheet"],
            place_id=raw.get("place"),
            cup=raw.get("cup"),
            line=raw.get("line"),
            round=raw.get("round"),
            value=raw.get("value"),
            device_time=utc_moment(raw["device_time"]),
            reason=raw.get("reason"),
        ),
        (),
    )


def entry_data(entry: Entry) -> dict[str, Any]:
    """Return an entry in the form in which devices send it."""
    # Only what has a reason says so: a device sends an entry again as it was sent before.
    reasoned = {} if entry.reason is None else {"reason": entry.reason}
    return {
        **reasoned,
        "id": entry.id,
        "grip": entry.grip,
        "no": entry.no,
        "kind": entry.kind,
        "sheet": entry.sheet,
        "place": entry.place_id,
        "cup": entry.cup,
        "line": entry.line,
        "round": entry.round,
        "value": entry.value,
        "device_time": utc_text(entry.device_time),
    }


def is_count(value: object) -> bool:
    """Return whether a value numbers something: a whole number from 1."""
    return isinstance(value, int) and not isinstance(value, bool) and 1 <= value < LARGEST


def _is_short(value: object) -> bool:
    return _is_text(value) and 0 < len(value) <= 80


def _is_text(value: object) -> TypeGuard[str]:
    # Half an emoji, as a phone leaves it that cuts a note short, is no text in any file of ours.
    return isinstance(value, str) and not HALF_SIGN.search(value)


def _is_moment(value: object) -> bool:
    try:
        return isinstance(value, str) and bool(utc_moment(value))
    except (ValueError, OverflowError):
        return False


def _is_value(value: object) -> bool:
    if value is None or _is_text(value):
        return True
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    # Neither infinity nor a not-a-number lies between the two.
    return -LARGEST < value < LARGEST


def _or_none(holds: Any) -> Any:
    return lambda value: value is None or holds(value)


_SHAPE = (
    ("id", "32 hex digits", lambda value: isinstance(value, str) and ID_SHAPE.fullmatch(value)),
    ("grip", "a whole number from 1", is_count),
    ("no", "a whole number from 1", is_count),
    ("kind", "a short word", _is_short),
    ("sheet", "a short word", _is_short),
    ("place", "a short word or nothing", _or_none(_is_short)),
    ("cup", "a whole number from 1 or nothing", _or_none(is_count)),
    ("line", "a short word or nothing", _or_none(_is_short)),
    ("round", "a short word or nothing", _or_none(_is_short)),
    ("value", "a number, a text or nothing", _is_value),
    ("reason", "a text or nothing", _or_none(_is_text)),
    ("device_time", "a moment such as 2030-01-31T09:30:00Z", _is_moment),
)


def _fault(name: str, rule: str, found: object) -> Problem:
    return Problem(
        where=name,
        rule=rule,
        found=told(found),
        remedy="It is stored as sent and does not count: give the mark once more.",
    )
