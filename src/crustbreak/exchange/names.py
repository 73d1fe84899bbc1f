"""Names pasted or typed, one a line."""

# What a list copied from a mail or a table starts its lines with.
BULLETS = "-*•·\t "


def read_names(text: str) -> tuple[str, ...]:
    """Read names from lines; blank lines and list marks at the start are left out.

    >>> read_names("- Oskelan 12\\n\\n* Tarn Ostell")
    ('Oskelan 12', 'Tarn Ostell')
    """
    lines = (" ".join(line.strip().lstrip(BULLETS).split()) for line in text.splitlines())
    return tuple(line for line in lines if line)
