"""What a host reads off a thermometer, and whether a bowl can be known by it."""

from collections.abc import Collection
from dataclasses import dataclass

from crustbreak.core.errors import Problem, told
from crustbreak.domain.planning.plan_request import check_text

ROOM_LOW_C, ROOM_HIGH_C = 0, 45
MOST_READINGS = 2
# No time and no temperature: what is no number at all is above it, too.
SLIP = 1e6


@dataclass(frozen=True, slots=True, kw_only=True)
class BowlDraft:
    """A bowl as measured, as typed.

    kind:      of bowl; protocol: by `id/version`, by which it was poured.
    name:      what to call it; may stay empty.
    room_c:    of the air, degrees C; None where it was no number.
    readings:  since the pour, s, and of the coffee, degrees C; None in place of what was no number.
    """

    kind: str
    protocol: str
    name: str
    room_c: float | None
    readings: tuple[tuple[float | None, float | None], ...]

    @property
    def read(self) -> tuple[tuple[float, float], ...]:
        """The readings of which both numbers are there, and no slip of the pen."""
        return tuple(
            (at, c)
            for at, c in self.readings
            if at is not None and c is not None and max(abs(at), abs(c)) < SLIP
        )


def check_bowl(
    draft: BowlDraft, *, kinds: Collection[str], protocols: Collection[str]
) -> tuple[Problem, ...]:
    """Name what keeps readings from being looked at; `calibrate` says whether they can be."""
    return (
        *_check_known("Kind of bowl", draft.kind, kinds),
        *_check_known("Protocol", draft.protocol, protocols),
        *check_text("What to call it", draft.name, needed=False),
        *_check_room(draft.room_c),
        *_check_readings(draft),
    )


def _check_known(where: str, word: str, known: Collection[str]) -> tuple[Problem, ...]:
    if word in known:
        return ()
    rule = f"one of: {', '.join(known)}"
    return (Problem(where=where, rule=rule, found=told(word), remedy="Choose one of them."),)


def _check_room(room_c: float | None) -> tuple[Problem, ...]:
    if room_c is not None and ROOM_LOW_C <= room_c <= ROOM_HIGH_C:
        return ()
    return (
        Problem(
            where="Temperature of the room",
            rule=f"a number from {ROOM_LOW_C} to {ROOM_HIGH_C}, degrees C",
            found="no number" if room_c is None else f"{room_c:g}",
            remedy="Read it off beside the table.",
        ),
    )


def _check_readings(draft: BowlDraft) -> tuple[Problem, ...]:
    if draft.readings and len(draft.read) == len(draft.readings) <= MOST_READINGS:
        return ()
    return (
        Problem(
            where="Readings",
            rule="one or two, each with the minutes since the pour and the temperature",
            found=f"{len(draft.read)} whole and {len(draft.readings) - len(draft.read)} half"
            if draft.readings
            else "none",
            remedy="Give both numbers of a reading, such as 10:30 and 68.5; or leave both out.",
        ),
    )
