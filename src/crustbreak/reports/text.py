"""Figures, moments and lists as people say them."""

from collections.abc import Mapping, Sequence
from typing import Any

from crustbreak.core.units import utc_moment


def format_gap(gap: float) -> str:
    """Return in words a distance from the cut-off.

    >>> format_gap(1.5), format_gap(-0.25), format_gap(0)
    ('1.50 over', '0.25 under', 'on it')
    """
    if round(gap, 2) == 0:
        return "on it"
    return f"{abs(gap):.2f} {'over' if gap > 0 else 'under'}"


def format_day(text: str) -> str:
    """Return in words the day of a stored moment, in UTC.

    >>> format_day("2031-03-04T09:30:00.000Z")
    '4 March 2031'
    """
    moment = utc_moment(text)
    return f"{moment.day} {moment:%B %Y}"


def format_moment(text: str) -> str:
    """Return in words a stored moment to the minute, in UTC.

    >>> format_moment("2031-03-04T09:30:00.000Z")
    '4 March 2031, 09:30 UTC'
    """
    return f"{format_day(text)}, {utc_moment(text):%H:%M} UTC"


def format_list(words: Sequence[str]) -> str:
    """Return in words several things in a row.

    >>> format_list(["Ines", "Tomas", "Wren"])
    'Ines, Tomas and Wren'
    """
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def format_count(count: int, word: str) -> str:
    """Return in words how many there are of a thing.

    >>> format_count(1, "mark"), format_count(3, "mark")
    ('1 mark', '3 marks')
    """
    return f"{count} {word}{'' if count == 1 else 's'}"


NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def format_number(count: int) -> str:
    """Return in words a small number as a word, a larger one in figures.

    >>> format_number(7), format_number(13)
    ('seven', '13')
    """
    return NUMBERS[count] if count < len(NUMBERS) else f"{count}"


def format_tenth(value: float) -> str:
    """Return in words points that are estimated: to a tenth, since the next digit is noise.

    >>> format_tenth(84.949)
    '84.9'
    """
    return f"{value:.1f}"


def format_hundredths(chance: float) -> str:
    """Return a chance as a whole number of hundredths; what is possible is never 0 nor 100.

    >>> format_hundredths(0.876), format_hundredths(0.0002), format_hundredths(0.9999)
    ('88', '<1', '>99')
    """
    if chance < 0.01:
        return "<1"
    return ">99" if chance > 0.99 else f"{100 * chance:.0f}"


def format_in_100(chance: float) -> str:
    """Return in words a chance or a share.

    >>> format_in_100(0.876), format_in_100(0.0002)
    ('88 in 100', 'under 1 in 100')
    """
    words = format_hundredths(chance).replace("<", "under ").replace(">", "over ")
    return f"{words} in 100"


def format_money(amount: float, currency: str) -> str:
    """Return in words an estimated amount: to two figures, since the next digit is noise.

    >>> format_money(1846.2, "USD"), format_money(0.4, "EUR")
    ('USD 1,800', 'under EUR 1')
    """
    if amount < 1:
        return f"under {currency} 1"
    digits = max(0, len(f"{amount:.0f}") - 2)
    return f"{currency} {round(amount, -digits):,.0f}"


def format_terms(price: float | None, kilos: float | None, currency: str) -> str:
    """Return the price of a kilo and how much is offered; nothing where neither is known.

    >>> format_terms(7.25, 600.0, "USD"), format_terms(None, 60.0, "USD")
    ('USD 7.25 a kilo, 600 kg', '60 kg')
    >>> format_terms(None, None, "USD")
    ''
    """
    said = [] if price is None else [f"{currency} {price:.2f} a kilo"]
    if kilos is not None:
        said.append(f"{kilos:,.10g} kg")
    return ", ".join(said)


def format_shares(shares: Mapping[str, Any]) -> str:
    """Return in words how evenly the codes are shared out among tasters who do not taste them all.

    >>> told = {"size": 2, "codes": 3, "times": (2, 2), "together": (1, 2), "efficiency": 0.75}
    >>> format_shares(told).split(":")[0]
    'Each taster tastes 2 of 3 codes, each code has 2 tasters and any two codes 1 or 2 of the same'
    """
    return (
        f"Each taster tastes {shares['size']} of {shares['codes']} codes, each code has "
        f"{_between(*shares['times'])} tasters and any two codes {_between(*shares['together'])} "
        f"of the same: on a difference that tells {100 * shares['efficiency']:.0f} in 100 of what "
        "as many tastings would if all tasted all."
    )


def _between(fewest: int, most: int) -> str:
    if fewest == most:
        return str(most)
    return f"{fewest} {'or' if most == fewest + 1 else 'to'} {most}"
