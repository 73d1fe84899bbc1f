"""Is a definition of a sheet of the right shape? Asked before anything of it is used.

Whoever writes a sheet of the lab's own gets every slip named at once, with the place it is in.
"""

from collections.abc import Callable, Iterator, Mapping
from typing import Any, NamedTuple

from crustbreak.core.errors import Problem, nearest_word, told

TEXT_LENGTH = 200
# No scale of a sheet is longer, and what is summed from such numbers stays exact.
LARGEST = 10_000


class Field(NamedTuple):
    """What a field of a definition holds, and whether it has to be there."""

    rule: str
    holds: Callable[[Any], bool]
    needed: bool = True


def _is_text(value: object) -> bool:
    return isinstance(value, str) and value.strip() != "" and len(value) <= TEXT_LENGTH


def _is_number(value: object) -> bool:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    return -LARGEST <= value <= LARGEST


def _is_count(value: object) -> bool:
    return type(value) is int and 1 <= value <= LARGEST


def _is_list(value: object) -> bool:
    return isinstance(value, list | tuple) and len(value) > 0


def _are_anchors(value: object) -> bool:
    return isinstance(value, Mapping) and all(
        _is_point(point) and _is_text(word) for point, word in value.items()
    )


def _is_point(point: object) -> bool:
    try:
        return isinstance(point, str | int | float) and _is_number(float(point))
    except (ValueError, OverflowError):
        return False


TEXT = Field(f"a text of at most {TEXT_LENGTH} characters", _is_text)
NUMBER = Field(f"a number from {-LARGEST} to {LARGEST}", _is_number)
COUNT = Field(f"a whole number from 1 to {LARGEST}", _is_count)
LIST = Field("a list of one at least", _is_list)

SHEET = {
    "id": TEXT,
    "version": COUNT,
    "title": TEXT,
    "source": TEXT,
    "cups": COUNT,
    "rounds": LIST,
    "lines": LIST,
    "classes": LIST._replace(needed=False),
}
ROUND = {"id": TEXT, "title": TEXT, "say": TEXT}
LINE = {
    "id": TEXT,
    "title": TEXT,
    "kind": TEXT,
    "round": TEXT._replace(needed=False),
    "least": NUMBER._replace(needed=False),
    "most": NUMBER._replace(needed=False),
    "step": NUMBER._replace(needed=False),
    "anchors": Field("words by points of the scale", _are_anchors, needed=False),
    "options": LIST._replace(needed=False),
    "all_alike": TEXT._replace(needed=False),
    "penalty": Field("true or false", lambda value: isinstance(value, bool), needed=False),
    "compares": Field("true or false", lambda value: isinstance(value, bool), needed=False),
    "beside": TEXT._replace(needed=False),
}
OPTION = {"id": TEXT, "said": TEXT, "points": NUMBER}
# A choice is worth nothing, and its words have no points to name.
CHOICE_OPTION = {"id": TEXT, "said": TEXT}
CLASS = {"least": NUMBER, "title": TEXT}


def misshapen(definition: object, name: str) -> tuple[Problem, ...]:
    """Name every field that is missing, unknown or not of its kind; nothing when all fit.

    Args:    definition: the parsed file, whatever it holds. name: the file's name, for messages.
    """
    return tuple(_sheet_faults(definition, name))


def _sheet_faults(definition: object, name: str) -> Iterator[Problem]:
    yield from _faults(definition, SHEET, name, "a sheet")
    for where, each in _listed(definition, "rounds", f"{name}, round"):
        yield from _faults(each, ROUND, where, "a round")
    for where, each in _listed(definition, "lines", f"{name}, line"):
        yield from _faults(each, LINE, where, "a line")
        for option_where, option in _listed(each, "options", f"{where}, option"):
            yield from _faults(option, _option_fields(each), option_where, "an option")
    for where, each in _listed(definition, "classes", f"{name}, class"):
        yield from _faults(each, CLASS, where, "a class")


def _option_fields(line: object) -> Mapping[str, Field]:
    is_choice = isinstance(line, Mapping) and line.get("kind") == "choice"
    return CHOICE_OPTION if is_choice else OPTION


def _listed(holder: object, name: str, where: str) -> Iterator[tuple[str, object]]:
    inside = holder.get(name) if isinstance(holder, Mapping) else None
    for nth, each in enumerate(inside if isinstance(inside, list | tuple) else ()):
        known = each.get("id") if isinstance(each, Mapping) else None
        yield f"{where} {told(known) if _is_text(known) else nth + 1}", each


def _faults(value: object, fields: Mapping[str, Field], where: str, what: str) -> Iterator[Problem]:
    if not isinstance(value, Mapping):
        yield Problem(
            where=where,
            rule=f"{what} is a table of named fields",
            found=told(value),
            remedy=f"Give it {', '.join(fields)}.",
        )
        return
    for name, field in fields.items():
        if name not in value and field.needed:
            yield Problem(
                where=where,
                rule=f"{what} has '{name}'",
                found="nothing there",
                remedy=f"Add '{name}' to the definition.",
            )
        elif name in value and not field.holds(value[name]):
            yield Problem(
                where=where,
                rule=f"'{name}' is {field.rule}",
                found=told(value[name]),
                remedy=f"Mend '{name}' in the definition.",
            )
    for name in value:
        if name not in fields:
            yield Problem(
                where=where,
                rule=f"{what} has only fields that there are",
                found=told(name),
                remedy=nearest_word(told(name), tuple(fields)),
            )
