"""Templates to text: one environment for every document."""

from base64 import b64encode
from collections.abc import Mapping, Sequence
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from crustbreak.footing.units import clock, points, utc_moment

TEMPLATES = Path(__file__).parent / "templates"


def render(template: str, values: Mapping[str, Any], *, folder: Path = TEMPLATES) -> str:
    """Fill a template; every value is escaped, and one that is missing is an error."""
    return _environment(folder).get_template(template).render(**values)


@cache
def _environment(folder: Path) -> Environment:
    environment = Environment(
        # A document of another folder can still use our frame.
        loader=FileSystemLoader([folder, TEMPLATES]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters.update(
        points=points,
        gap=say_gap,
        day=say_day,
        moment=say_moment,
        span=clock,
        listed=say_list,
        position=position_in,
        width=width_in,
        tenth=say_tenth,
        in_100=say_in_100,
        hundredths=say_hundredths,
    )
    environment.globals["style"] = Markup(paper_style())
    return environment


def evidence_style() -> str:
    """Give the style of the evidence, for a page that shows it outside a document."""
    return (TEMPLATES / "evidence.css").read_text(encoding="utf-8")


@cache
def paper_style() -> str:
    """Give the style that every document carries, so that a saved one still looks right."""
    return (TEMPLATES / "paper.css").read_text(encoding="utf-8") + evidence_style()


def paper_policy() -> str:
    """Give the content policy under which a document may be shown: its own style, nothing else."""
    digest = b64encode(sha256(paper_style().encode("utf-8")).digest()).decode("ascii")
    return f"default-src 'none'; style-src 'sha256-{digest}'; frame-ancestors 'none'"


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


def position_in(value: float, ends: tuple[float, float]) -> str:
    """Give where a value lies between two ends, in hundredths, for a drawing.

    >>> position_in(82.5, (80.0, 85.0))
    '50.00'
    """
    low, high = ends
    return f"{100 * (value - low) / (high - low):.2f}"


def width_in(high: float, low: float, ends: tuple[float, float]) -> str:
    """Give how wide it is from a low value to a high one, in hundredths, for a drawing.

    >>> width_in(82.5, 80.0, (80.0, 85.0))
    '50.00'
    """
    return f"{100 * (high - low) / (ends[1] - ends[0]):.2f}"


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
