"""Counts and choices, as a plan says them."""

from collections.abc import Sequence


def say_count(count: int, word: str) -> str:
    """Say how many there are of a thing.

    >>> say_count(1, "bowl"), say_count(19, "bowl")
    ('1 bowl', '19 bowls')
    """
    return f"{count:,} {word}{'' if count == 1 else 's'}"


def say_choice(phrases: tuple[str, ...]) -> str:
    """Say what can be done instead of each other, as one sentence; nothing for none.

    >>> say_choice(("lid the cups", "grind 6 min later"))
    'Lid the cups; or grind 6 min later.'
    """
    line = "; or ".join(phrases)
    return f"{line[0].upper()}{line[1:]}." if line else ""


def say_list(phrases: Sequence[str]) -> str:
    """Say several things one after the other; nothing for none.

    >>> say_list(["pours 5", "breaks 4", "skims 3"])
    'pours 5, breaks 4 and skims 3'
    """
    if len(phrases) < 2:
        return "".join(phrases)
    return f"{', '.join(phrases[:-1])} and {phrases[-1]}"
