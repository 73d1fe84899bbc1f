"""Figures, moments and lists as people say them."""

from collections.abc import Mapping, Sequence
from typing import Any

from crustbreak.core.units import utc_moment


def say_gap(gap: float) -> str:
    """Say a distance from the cut-off.

    >>> say_gap(1.5), say_gap(-0.25), say_gap(0)
    ('1.50 over', '0.25 under', 'on it')
    """
    if round(gap, 2) == 0:
        return "on it"
    return f"{abs(gap):.2f} {'over' if gap > 0 else 'under'}"


def say_day(text: str) -> str:
    """Say the day of a stored moment, in UTC.

    >>> say_day("2031-03-04T09:30:00.000Z")
    '4 March 2031'
    """
    moment = utc_moment(text)
    return f"{moment.day} {moment:%B %Y}"


def say_moment(text: str) -> str:
    """Say a stored moment to the minute, in UTC.

    >>> say_moment("2031-03-04T09:30:00.000Z")
    '4 March 2031, 09:30 UTC'
    """
    return f"{say_day(text)}, {utc_moment(text):%H:%M} UTC"


def say_list(words: Sequence[str]) -> str:
    """Say several things in a row.

    >>> say_list(["Ines", "Tomas", "Wren"])
    'Ines, Tomas and Wren'
    """
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def say_count(count: int, word: str) -> str:
    """Say how many there are of a thing.

    >>> say_count(1, "mark"), say_count(3, "mark")
    ('1 mark', '3 marks')
    """
    return f"{count} {word}{'' if count == 1 else 's'}"


NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def say_number(count: int) -> str:
    """Say a small number as a word, a larger one in figures.

    >>> say_number(7), say_number(13)
    ('seven', '13')
    """
    return NUMBERS[count] if count < len(NUMBERS) else f"{count}"


def say_tenth(value: float) -> str:
    """Say points that are estimated: to a tenth, since the next digit is noise.

    >>> say_tenth(84.949)
    '84.9'
    """
    return f"{value:.1f}"


def say_hundredths(chance: float) -> str:
    """Say a chance as a whole number of hundredths; what is possible is never 0 nor 100.

    >>> say_hundredths(0.876), say_hundredths(0.0002), say_hundredths(0.9999)
    ('88', '<1', '>99')
    """
    if chance < 0.01:
        return "<1"
    return ">99" if chance > 0.99 else f"{100 * chance:.0f}"


def say_in_100(chance: float) -> str:
    """Say a chance or a share.

    >>> say_in_100(0.876), say_in_100(0.0002)
    ('88 in 100', 'under 1 in 100')
    """
    words = say_hundredths(chance).replace("<", "under ").replace(">", "over ")
    return f"{words} in 100"


def say_money(amount: float, currency: str) -> str:
    """Say an estimated amount: to two figures, since the next digit is noise.

    >>> say_money(1846.2, "USD"), say_money(0.4, "EUR")
    ('USD 1,800', 'under EUR 1')
    """
    if amount < 1:
        return f"under {currency} 1"
    digits = max(0, len(f"{amount:.0f}") - 2)
    return f"{currency} {round(amount, -digits):,.0f}"


def say_terms(price: float | None, kilos: float | None, currency: str) -> str:
    """Say at what price of a kilo how much of a coffee is offered; nothing where neither is known.

    >>> say_terms(7.25, 600.0, "USD"), say_terms(None, 60.0, "USD"), say_terms(None, None, "USD")
    ('USD 7.25 a kilo, 600 kg', '60 kg', '')
    """
    said = [] if price is None else [f"{currency} {price:.2f} a kilo"]
    if kilos is not None:
        said.append(f"{kilos:,.10g} kg")
    return ", ".join(said)


def say_shares(shares: Mapping[str, Any]) -> str:
    """Say how evenly the codes are shared out among tasters who do not taste them all.

    >>> told = {"size": 2, "codes": 3, "times": (2, 2), "together": (1, 2), "efficiency": 0.75}
    >>> say_shares(told).split(":")[0]
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
