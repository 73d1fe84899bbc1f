"""Names pasted or typed, one a line, and names of files."""

import re

# What a list copied from a mail or a table starts its lines with.
BULLETS = "-*•·\t "
LONGEST = 80


def read_names(text: str) -> tuple[str, ...]:
    """Read names from lines; blank lines and list marks at the start are left out.

    >>> read_names("- Oskelan 12\\n\\n* Tarn Ostell")
    ('Oskelan 12', 'Tarn Ostell')
    """
    lines = (" ".join(line.strip().lstrip(BULLETS).split()) for line in text.splitlines())
    return tuple(line for line in lines if line)


def file_name(text: str, ending: str) -> str:
    """Give a name for a file that every system takes: plain letters, digits and dashes.

    >>> file_name("Decision memo: Harbour offers 2031-03-04", "pdf")
    'decision-memo-harbour-offers-2031-03-04.pdf'
    """
    plain = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")
    return f"{plain[:LONGEST].strip('-') or 'paper'}.{ending}"
