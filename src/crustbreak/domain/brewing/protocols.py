"""How a lab makes its cups, read from a definition: dose, water, steep, temperature, stirs."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

from crustbreak.core.errors import Problem, refuse, told
from crustbreak.domain.brewing.bowls import BOWLS
from crustbreak.domain.records.recipes import Recipe

# What is no slip of the pen.
BOUNDS = {
    "dose_g": (1.0, 50.0),
    "water_ml": (20.0, 1000.0),
    "steep_s": (30, 1200),
    "pour_c": (60.0, 100.0),
    "stirs": (0, 20),
}
WHOLE = ("steep_s", "stirs")
KINDS = tuple(bowl.kind for bowl in BOWLS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Protocol:
    """A recipe without the pace, which is the lab's.

    title:   as the plan page offers it.
    dose_g, water_ml, steep_s, pour_c, source:  as in `Recipe`.
    stirs:   at the break.
    bowl:    kind of bowl that it is poured into; empty, or left out, for the lab's.
    """

    id: str
    version: int
    title: str
    dose_g: float
    water_ml: float
    steep_s: int
    pour_c: float
    stirs: int
    source: str
    bowl: str = ""

    @property
    def ref(self) -> str:
        """Protocol and version in one word."""
        return f"{self.id}/{self.version}"

    def recipe(self, *, pace_s: int) -> Recipe:
        """Return the recipe at a lab's pace, s from one cup to the next."""
        return Recipe(
            dose_g=self.dose_g,
            water_ml=self.water_ml,
            steep_s=self.steep_s,
            pace_s=pace_s,
            pour_c=self.pour_c,
            source=self.source,
            bowl=self.bowl,
        )


def read_protocol(definition: Mapping[str, Any], *, name: str) -> Protocol:
    """Make a protocol from its definition.

    Args:    definition: the parsed file. name: the file's name, for messages.
    Raises:  Unacceptable, with every fault of the definition.
    """
    refuse(f"The protocol {name}", _faults(definition, name))
    return Protocol(**definition)


def find_faults(definition: Mapping[str, Any]) -> tuple[tuple[str, str, str], ...]:
    """Find what is wrong with a definition: of each fault the entry, the rule, what was found."""
    wanted = [each.name for each in fields(Protocol)]
    wrong = [
        (key, _rule(key), told(definition.get(key)))
        for key in wanted
        if not _holds(key, definition.get(key))
    ]
    unknown = [
        (key, "a protocol has no such entry", told(key)) for key in definition if key not in wanted
    ]
    return (*wrong, *unknown)


def _faults(definition: Mapping[str, Any], name: str) -> tuple[Problem, ...]:
    return tuple(
        Problem(where=f"{name}, {told(key)}", rule=rule, found=found, remedy="Mend the file.")
        for key, rule, found in find_faults(definition)
    )


def _rule(key: str) -> str:
    if key in BOUNDS:
        least, most = BOUNDS[key]
        return f"a {'whole ' if key in WHOLE else ''}number from {least:g} to {most:g}"
    if key == "bowl":
        return f"nothing, or one of: {', '.join(KINDS)}"
    return "a whole number from 1" if key == "version" else "a text"


def _holds(key: str, value: object) -> bool:
    if key in BOUNDS or key == "version":
        least, most = BOUNDS.get(key, (1, 1_000_000))
        kinds = (int,) if key in WHOLE or key == "version" else (int, float)
        # NaN is above nothing, and True is no number.
        return type(value) in kinds and least <= float(str(value)) <= most
    if key == "bowl":
        return value is None or value in ("", *KINDS)
    return isinstance(value, str) and value.strip() != ""
