"""The control: a coffee everybody knows, which says how the table stood that day."""

from collections.abc import Sequence
from dataclasses import dataclass

from crustbreak.analysis.frames import Frame, Look
from crustbreak.domain.records.coffees import Coffee


@dataclass(frozen=True, slots=True, kw_only=True)
class ControlFinding:
    """What a table made of its control.

    today:          mean of the complete sheets, points; None without one.
    usual:          mean of the same on earlier tables; None while it stands for the first time.
    least, most:    the lowest and highest of those tables.
    tables:         how many they are.
    """

    coffee: str
    code: str
    today: float | None
    usual: float | None
    least: float | None
    most: float | None
    tables: int


def find_controls(frame: Frame) -> tuple[ControlFinding, ...]:
    """Say how the control came out today, and how it usually does.

    Question answered: did the table stand high or low that day. Assumes frozen portions of one
    roast; who tasted earlier may have been others.
    """
    return tuple(_find(control, frame) for control in frame.controls)


def _find(control: Coffee, frame: Frame) -> ControlFinding:
    looks = _looks(frame, control)
    before = [
        mean
        for each, there in frame.lots_before(control)
        if (mean := _mean(_looks(each, there))) is not None
    ]
    return ControlFinding(
        coffee=control.name,
        code=" and ".join(sorted({look.code for look in looks})),
        today=_mean(looks),
        usual=round(sum(before) / len(before), 4) if before else None,
        least=min(before, default=None),
        most=max(before, default=None),
        tables=len(before),
    )


def _looks(frame: Frame, control: Coffee) -> Sequence[Look]:
    return [look for look in frame.control_looks if look.coffee == control]


def _mean(looks: Sequence[Look]) -> float | None:
    totals = [look.score.total for look in looks if look.score.total is not None]
    return round(sum(totals) / len(totals), 4) if totals else None
