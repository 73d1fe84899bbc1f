"""Bowls that differ, in words: on the host's page while they stand, and on the papers."""

from collections.abc import Iterable, Mapping
from typing import Any

WORDS = {
    "steep": ("steeped {off:g} s longer", "steeped {off:g} s shorter"),
    "dose": ("had {off:.2f} g more coffee", "had {off:.2f} g less coffee"),
    "water": ("had {off:.1f} g more water", "had {off:.1f} g less water"),
}


def deviation_text(flag: Mapping[str, Any]) -> str:
    """Return in words how one bowl differs from the recipe.

    Args:  flag: a `BowlFlag` as plain data.

    >>> deviation_text({"code": "482", "cup": 3, "kind": "steep", "off": 25})
    'Bowl 3 of 482 steeped 25 s longer'
    """
    if flag["kind"] == "spilt":
        return f"Bowl {flag['cup']} of {flag['code']} was spilt"
    more, less = WORDS[flag["kind"]]
    said = (more if flag["off"] > 0 else less).format(off=abs(flag["off"]))
    return f"Bowl {flag['cup']} of {flag['code']} {said}"


def deviation_texts(flags: Iterable[Mapping[str, Any]]) -> tuple[str, ...]:
    """Return in words of each bowl that differs how, in one sentence a bowl."""
    by_bowl: dict[tuple[str, int], list[str]] = {}
    for flag in flags:
        whole = deviation_text(flag)
        bowl = f"Bowl {flag['cup']} of {flag['code']} "
        by_bowl.setdefault((flag["code"], flag["cup"]), []).append(whole.removeprefix(bowl))
    return tuple(
        f"Bowl {cup} of {code} {' and '.join(said)}." for (code, cup), said in by_bowl.items()
    )
