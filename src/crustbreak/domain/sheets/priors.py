"""What is assumed of a sheet's points before the first table, read from a definition."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

from crustbreak.core.errors import Problem, refuse, told

Pair = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Priors:
    """Distributions, in the sheet's points; printed with every answer and kept in it.

    mean:    Gaussian (mean, standard deviation) of the mean of a stream of coffees.
    coffee, roast, taster, table, look, cup:  lognormal (median, log-sd) of the standard
             deviation from one to the next; `look` is private taste and error together.
    drift:   the same, of what one taster's leaning changes by within a quarter of a year.
    share:   Gaussian (mean, standard deviation) of the logit of private taste's share in `look`.
    bad_bowls, detection:  Beta (a, b) of the share of bad bowls, and of how often a taster
             notices one.
    """

    id: str
    version: int
    sheet: str
    mean: Pair
    coffee: Pair
    roast: Pair
    taster: Pair
    table: Pair
    look: Pair
    drift: Pair
    cup: Pair
    share: Pair
    bad_bowls: Pair
    detection: Pair

    @property
    def ref(self) -> str:
        """Priors and version in one word, as kept with every verdict."""
        return f"{self.id}/{self.version}"


PAIRS = tuple(each.name for each in fields(Priors) if each.name not in ("id", "version", "sheet"))
# A mean and the centre of a share may be zero or less; nothing else may.
ANY_FIRST = ("mean", "share")


def read_priors(definition: Mapping[str, Any], *, name: str) -> Priors:
    """Make priors from their definition.

    Args:    definition: the parsed file. name: the file's name, for messages.
    Raises:  Unacceptable, with every fault of the definition.
    """
    refuse(f"The priors {name}", _faults(definition, name))
    pairs = {each: (float(definition[each][0]), float(definition[each][1])) for each in PAIRS}
    return Priors(
        id=definition["id"], version=definition["version"], sheet=definition["sheet"], **pairs
    )


def _faults(definition: Mapping[str, Any], name: str) -> tuple[Problem, ...]:
    named = (
        ("id", "a text", lambda value: isinstance(value, str) and value != ""),
        ("version", "a whole number from 1", lambda value: _is_whole(value) and value >= 1),
        ("sheet", "a sheet and its version", lambda value: isinstance(value, str) and "/" in value),
        *((each, _rule(each), _holds(each)) for each in PAIRS),
    )
    known = {each[0] for each in named}
    unknown = [
        _fault(name, key, "the priors have no such entry", key)
        for key in definition
        if key not in known
    ]
    wrong = [
        _fault(name, key, rule, definition.get(key))
        for key, rule, holds in named
        if not holds(definition.get(key))
    ]
    return (*wrong, *unknown)


def _rule(key: str) -> str:
    return "two numbers, the second above 0" if key in ANY_FIRST else "two numbers above 0"


def _holds(key: str) -> Any:
    def holds(value: object) -> bool:
        if not isinstance(value, list) or len(value) != 2:
            return False
        if not all(isinstance(each, int | float) and not isinstance(each, bool) for each in value):
            return False
        first, second = value
        # NaN is above nothing.
        return bool(0 < second < float("inf") and (key in ANY_FIRST or 0 < first < float("inf")))

    return holds


def _is_whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _fault(name: str, key: str, rule: str, found: object) -> Problem:
    return Problem(
        where=f"{name}, {told(key)}", rule=rule, found=told(found), remedy="Mend the file."
    )
