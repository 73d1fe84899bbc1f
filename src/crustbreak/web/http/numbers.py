"""Numbers as they are typed."""


def read_number(text: str) -> float | None:
    """Read a number with a point or a comma; None when it is none.

    >>> read_number("84,5"), read_number("many")
    (84.5, None)
    """
    if "_" in text:
        # Python groups digits with it; on a form it is a slip of the finger.
        return None
    try:
        return float(text.strip().replace(",", "."))
    except ValueError:
        return None
