"""One way to write a record, so that the same record is the same bytes a year later."""

import json
from collections.abc import Mapping
from dataclasses import asdict, is_dataclass
from datetime import datetime
from hashlib import sha256
from typing import Any

import rfc8785

from crustbreak.core.errors import CrustbreakError
from crustbreak.core.units import utc_text


def write_record(record: Mapping[str, Any]) -> tuple[str, str]:
    """Write a record as canonical JSON, with its SHA-256.

    Args:     record: mappings, sequences, records, moments, texts, numbers, None.
    Returns:  (text, digest in hex). The same record gives the same text on any machine.
    Valid for numbers short of 2**53 either way, which JSON readers agree on; ValueError for whole
    numbers beyond, infinities, and texts with half a sign.
    Source:   [S6].
    """
    return write_json(plain(record))


def write_json(value: Any) -> tuple[str, str]:
    """Write what is JSON already, as it was read from a text, as `write_record` does."""
    text = rfc8785.dumps(value)
    return text.decode("utf-8"), sha256(text).hexdigest()


class Altered(CrustbreakError):
    """A kept record is not the one that its digest was taken of."""

    status = 500


def read_record(text: str, digest: str) -> dict[str, Any]:
    """Read a record that was written by `write_record`; Altered when it is another by now."""
    if sha256(text.encode("utf-8", "surrogatepass")).hexdigest() != digest:
        raise Altered(
            "This record is not the one that was kept.",
            hint="It was changed outside the lab: take it from a backup.",
        )
    record: dict[str, Any] = json.loads(text)
    return record


def plain(value: Any) -> Any:
    """Turn records, tuples and moments into what JSON has."""
    if is_dataclass(value) and not isinstance(value, type):
        return plain(asdict(value))
    if isinstance(value, datetime):
        return utc_text(value)
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    return value
