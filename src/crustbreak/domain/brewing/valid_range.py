"""Where a formula holds, and what is said outside."""

from crustbreak.core.errors import OutOfRange


def within(value: float, low: float, high: float, *, what: str) -> float:
    """Return a number back when it lies where the formulas hold.

    Args:    what: the quantity with its unit, as a sentence begins: "The room's temperature, C".
    Raises:  OutOfRange outside, and for a number that is none.

    >>> within(22, 0, 45, what="The room's temperature, C")
    22
    """
    # Turned round, so that "not a number" is refused too.
    if not low <= value <= high:
        raise OutOfRange(
            f"{what}: {value:g} is outside {low:g} to {high:g}.",
            hint=f"Give a number from {low:g} to {high:g}.",
        )
    return value
