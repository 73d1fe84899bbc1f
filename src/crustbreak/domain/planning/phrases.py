"""Counts and choices, as a plan says them."""

from collections.abc import Sequence


def format_count(count: int, word: str) -> str:
    """Return in words how many there are of a thing.

    >>> format_count(1, "bowl"), format_count(19, "bowl")
    ('1 bowl', '19 bowls')
    """
    return f"{count:,} {word}{'' if count == 1 else 's'}"


def format_choice(phrases: tuple[str, ...]) -> str:
    """Return in words what can be done instead of each other, as one sentence; nothing for none.

    >>> format_choice(("lid the cups", "grind 6 min later"))
    'Lid the cups; or grind 6 min later.'
    """
    line = "; or ".join(phrases)
    return f"{line[0].upper()}{line[1:]}." if line else ""


def format_list(phrases: Sequence[str]) -> str:
    """Return in words several things one after the other; nothing for none.

    >>> format_list(["pours 5", "breaks 4", "skims 3"])
    'pours 5, breaks 4 and skims 3'
    """
    if len(phrases) < 2:
        return "".join(phrases)
    return f"{', '.join(phrases[:-1])} and {phrases[-1]}"
