"""Names pasted or typed, one a line, and names of files."""

import re
from collections.abc import Sequence

from crustbreak.domain.planning.plan_request import Terms
from crustbreak.domain.records.coffees import Coffee

# What a list copied from a mail or a table starts its lines with.
BULLETS = "-*•·\t "
# A line of three or more. Some keyboards make one long dash of two short ones.
DASHES = re.compile(r"-{3,}|[-\u2013\u2014]*[\u2013\u2014][-\u2013\u2014]*")
CLASS_LINE = "---"
LONGEST = 80


def read_names(text: str) -> tuple[str, ...]:
    """Read names from lines; blank lines and list marks at the start are left out.

    >>> read_names("- Oskelan 12\\n\\n* Tarn Ostell")
    ('Oskelan 12', 'Tarn Ostell')
    """
    lines = (" ".join(line.strip().lstrip(BULLETS).split()) for line in text.splitlines())
    return tuple(line for line in lines if line)


def read_offers(text: str) -> tuple[tuple[str, Terms, int], ...]:
    """Read coffees from lines, with price of a kilo and kilos where given, and the order class.

    What parts them is a tab, as a pasted table has it, or a semicolon. A line of three or more
    dashes begins the next class; one that would leave a class empty begins none.

    >>> [(name, terms.price, nth) for name, terms, nth in read_offers("- Tarn; 7,25\\n---\\nFen")]
    [('Tarn', 7.25, 1), ('Fen', None, 2)]
    """
    offers: list[tuple[str, Terms, int]] = []
    begun = 1
    for line in text.splitlines():
        if DASHES.fullmatch(line.strip()):
            begun = offers[-1][2] + 1 if offers else 1
            continue
        first, *more = re.split(r"[\t;]", line.strip().lstrip(BULLETS))
        name = " ".join(first.split())
        figures = [each.strip() for each in more if each.strip()]
        if name or figures:
            offers.append((name, _read_terms([each.strip() for each in more]), begun))
    return tuple(offers)


def write_offers(coffees: Sequence[Coffee]) -> str:
    """Write coffees as `read_offers` reads them: a line each, classes apart by dashes.

    >>> write_offers([Coffee(id="a", name="Tarn", price=7.25), Coffee(id="b", name="Fen")])
    'Tarn; 7.25\\nFen'
    """
    lines: list[str] = []
    begun = coffees[0].order_class if coffees else 1
    for coffee in coffees:
        if coffee.order_class != begun:
            begun = coffee.order_class
            lines.append(CLASS_LINE)
        price = "" if coffee.price is None else f"{coffee.price:.2f}"
        kilos = "" if coffee.kilos is None else f"{coffee.kilos:.2f}"
        lines.append("; ".join((coffee.name, price, kilos)).rstrip("; "))
    return "\n".join(lines)


def _read_terms(typed: list[str]) -> Terms:
    known = {each: _figure(each) for each in typed if each}
    price, kilos = (known.get(each) for each in [*typed[:2], "", ""][:2])
    # A third figure is none of the two that are asked for.
    too_many = [each for each in typed[2:] if each]
    unread = [each for each in typed[:2] if each and known[each] is None]
    return Terms(price=price, kilos=kilos, unread=(*unread, *too_many))


def _figure(text: str) -> float | None:
    """Read a number with at most two decimals: 1,200 could be twelve hundred or a little over one.

    >>> _figure("7.25"), _figure("1 200 kg"), _figure("1,200"), _figure("USD 7")
    (7.25, 1200.0, None, None)
    """
    grouped = re.sub(r"(?<=\d)[ \u00a0\u202f](?=\d{3}(?!\d))", "", text)
    plain = re.fullmatch(r"(\d+)(?:[.,](\d{1,2}))?(?: ?kg)?", grouped)
    return float(f"{plain[1]}.{plain[2] or 0}") if plain else None


def file_name(text: str, ending: str) -> str:
    """Return a name for a file that every system takes: plain letters, digits and dashes.

    >>> file_name("Decision memo: Harbour offers 2031-03-04", "pdf")
    'decision-memo-harbour-offers-2031-03-04.pdf'
    """
    plain = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")
    return f"{plain[:LONGEST].strip('-') or 'paper'}.{ending}"
