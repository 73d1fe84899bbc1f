"""Standard contracts as dated examples, read from definitions: the one that was signed prevails."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

from crustbreak.core.errors import Problem, refuse, told

DISCHARGE, LATER = "discharge", "the later of discharge and clearance"
RUNS_FROM = (DISCHARGE, LATER)
# No contract gives a buyer years.
MOST_DAYS = 365


@dataclass(frozen=True, slots=True, kw_only=True)
class Contract:
    """What one form of contract says of claims on quality.

    as_of:      from when on, or when it was seen.
    days:       counted from the day that `runs_from` names, which is day 0.
    says, warns:  in words, and what to beware of; `warns` may be empty.
    source:     as in docs/sources.md.
    """

    id: str
    version: int
    title: str
    as_of: str
    days: int
    runs_from: str
    says: str
    warns: str
    source: str

    @property
    def ref(self) -> str:
        """Contract and version in one word."""
        return f"{self.id}/{self.version}"


def read_contract(definition: Mapping[str, Any], *, name: str) -> Contract:
    """Make a contract from its definition.

    Args:    definition: the parsed file. name: the file's name, for messages.
    Raises:  Unacceptable, with every fault of the definition.
    """
    refuse(f"The contract {name}", _faults(definition, name))
    return Contract(**definition)


def _faults(definition: Mapping[str, Any], name: str) -> tuple[Problem, ...]:
    wanted = [each.name for each in fields(Contract)]
    wrong = [
        (key, _rule(key), definition.get(key))
        for key in wanted
        if not _holds(key, definition.get(key))
    ]
    unknown = [
        (key, "a contract has no such entry", key) for key in definition if key not in wanted
    ]
    return tuple(
        Problem(where=f"{name}, {told(key)}", rule=rule, found=told(found), remedy="Mend the file.")
        for key, rule, found in (*wrong, *unknown)
    )


def _rule(key: str) -> str:
    if key == "days":
        return f"a whole number from 1 to {MOST_DAYS}"
    if key == "runs_from":
        return f"one of: {', '.join(RUNS_FROM)}"
    return "a whole number from 1" if key == "version" else "a text"


def _holds(key: str, value: object) -> bool:
    if key in ("days", "version"):
        return type(value) is int and 1 <= value <= (MOST_DAYS if key == "days" else 1_000_000)
    if key == "runs_from":
        return value in RUNS_FROM
    return isinstance(value, str) and (key == "warns" or value.strip() != "")
