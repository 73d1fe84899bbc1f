"""What is measured of a green coffee: within its limits, and as it was when it was approved?"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Literal

from crustbreak.core.errors import Problem, told
from crustbreak.domain.records.physicals import Measurement, OldScore, Physicals

# Far beyond any sample: what is longer is a slip of the finger.
LONGEST = 8
LOWEST_SCORE, HIGHEST_SCORE = 0.0, 100.0
MOST_TASTERS, MOST_TABLES = 50, 50
NOTE_LENGTH = 80

Verdict = Literal["not measured", "no limit", "within", "under", "over"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """One thing that is measured.

    least, most:  figures beyond which it is a slip of the pen.
    example:      a published limit with its date, as an example; empty where none was seen.
    """

    id: str
    title: str
    unit: str
    least: Decimal
    most: Decimal
    example: str = ""


# What is usually measured at both ends: common practice, no source. The examples: [S32], [S33].
MEASURES = (
    Measure(
        id="moisture",
        title="Moisture",
        unit="% by mass",
        least=Decimal(0),
        most=Decimal(60),
        example="8 to 12.5 in ICO Resolution 420 of 2004, by ISO 6673",
    ),
    Measure(
        id="water_activity",
        title="Water activity",
        unit="",
        least=Decimal(0),
        most=Decimal(1),
        example="below 0.70 in a specialty association's standard of 2018",
    ),
    Measure(
        id="defects",
        title="Full defects",
        unit="in the sample",
        least=Decimal(0),
        most=Decimal(1000),
    ),
    Measure(
        id="screen",
        title="Retained on the screen",
        unit="% by mass",
        least=Decimal(0),
        most=Decimal(100),
    ),
    Measure(
        id="density",
        title="Bulk density",
        unit="g/l",
        least=Decimal(200),
        most=Decimal(1200),
    ),
)


# What a claim shows of both ends.
BOTH_ENDS = ("moisture", "water_activity")


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """What a reading comes to.

    changed:  found less at approval, in the measure's unit; None where one of them is missing.
    """

    reading: Measurement
    verdict: Verdict
    changed: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PhysicalsDraft:
    """Physicals as typed.

    readings:  measure to the texts of at_approval, found, least and most.
    score, tasters, tables, usual:  of the old score; all may be empty.
    """

    readings: Mapping[str, Measurement]
    score: str
    tasters: str
    tables: str
    usual: str
    by: str


def find_limits(reading: Measurement) -> Finding:
    """Return whether a measure lies within its limits, and by how much it has changed.

    A figure on a limit is within it: what is allowed is allowed.

    >>> find_limits(Measurement(measure="moisture", at_approval="10.5", found="12.6", most="12.5"))
    ... # doctest: +ELLIPSIS
    Finding(reading=..., verdict='over', changed=Decimal('2.1'))
    """
    found, before = figure(reading.found), figure(reading.at_approval)
    least, most = figure(reading.least), figure(reading.most)
    verdict: Verdict = "within"
    if found is None:
        verdict = "not measured"
    elif least is None and most is None:
        verdict = "no limit"
    elif least is not None and found < least:
        verdict = "under"
    elif most is not None and found > most:
        verdict = "over"
    changed = found - before if found is not None and before is not None else None
    return Finding(reading=reading, verdict=verdict, changed=changed)


def is_at_both_ends(physicals: Physicals, measures: Collection[str] = BOTH_ENDS) -> bool:
    """Return whether measures were taken at the approval and now."""
    whole = {each.measure for each in physicals.readings if each.at_approval and each.found}
    return set(measures) <= whole


def check_physicals(draft: PhysicalsDraft) -> tuple[Problem, ...]:
    """Name every figure that cannot be; what is empty was not measured."""
    problems = []
    for measure in MEASURES:
        reading = draft.readings.get(measure.id, Measurement(measure=measure.id))
        for what, text in _texts(reading):
            problems += _check_figure(f"{measure.title}, {what}", text, measure.least, measure.most)
        least, most = figure(reading.least), figure(reading.most)
        if least is not None and most is not None and least > most:
            where, found = f"{measure.title}, limits", f"{reading.least} to {reading.most}"
            problems.append(_problem(where, "the least comes first", found))
    scores = (Decimal(str(LOWEST_SCORE)), Decimal(str(HIGHEST_SCORE)))
    problems += _check_figure("Old score", draft.score, *scores)
    problems += _check_figure("Usual score of such offers", draft.usual, *scores)
    for where, text, most_count in (
        ("Tasters of the old score", draft.tasters, MOST_TASTERS),
        ("Tables of the old score", draft.tables, MOST_TABLES),
    ):
        if text.strip() and count(text, most_count) is None:
            problems.append(_problem(where, f"a whole number from 1 to {most_count}", told(text)))
    if len(draft.by) > NOTE_LENGTH:
        rule = f"at most {NOTE_LENGTH} characters"
        problems.append(_problem("Measured by", rule, f"{len(draft.by):,}"))
    return tuple(problems)


def make_physicals(draft: PhysicalsDraft) -> Physicals:
    """Make physicals of a draft without faults."""
    readings = (draft.readings.get(each.id, Measurement(measure=each.id)) for each in MEASURES)
    score, usual = figure(draft.score), figure(draft.usual)
    return Physicals(
        readings=tuple(_clean(each) for each in readings if any(text for _, text in _texts(each))),
        old_score=None
        if score is None
        else OldScore(
            score=float(score),
            tasters=count(draft.tasters, MOST_TASTERS) or 1,
            tables=count(draft.tables, MOST_TABLES) or 1,
            usual=None if usual is None else float(usual),
        ),
        by=draft.by.strip(),
    )


def figure(text: str) -> Decimal | None:
    """Read a figure with a point or a comma, its decimals kept; None where it is none.

    >>> figure("10,0"), figure("0.58"), figure("wet")
    (Decimal('10.0'), Decimal('0.58'), None)
    """
    known = text.strip().replace(",", ".")
    if not known or len(known) > LONGEST or not set(known) <= set("0123456789.-"):
        return None
    try:
        return Decimal(known)
    except InvalidOperation:
        return None


def count(text: str, most: int) -> int | None:
    """Read a whole number from 1; None where it is none, or more than there can be."""
    known = text.strip()
    if not (known.isascii() and known.isdigit() and len(known) <= LONGEST):
        return None
    return int(known) if 1 <= int(known) <= most else None


def _clean(reading: Measurement) -> Measurement:
    texts = {name: text.strip().replace(",", ".") for name, text in _named(reading)}
    return Measurement(measure=reading.measure, **texts)


def _named(reading: Measurement) -> Sequence[tuple[str, str]]:
    names = ("at_approval", "found", "least", "most")
    return [(name, getattr(reading, name)) for name in names]


def _texts(reading: Measurement) -> Sequence[tuple[str, str]]:
    words = ("at approval", "now", "least", "most")
    return [(word, text.strip()) for word, (_, text) in zip(words, _named(reading), strict=True)]


def _check_figure(where: str, text: str, least: Decimal, most: Decimal) -> list[Problem]:
    known = figure(text)
    if not text.strip() or (known is not None and least <= known <= most):
        return []
    return [_problem(where, f"a number from {least} to {most}", told(text))]


def _problem(where: str, rule: str, found: str) -> Problem:
    return Problem(where=where, rule=rule, found=found, remedy="Type it once more, or leave it.")
