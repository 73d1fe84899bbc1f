"""Each bowl's clock: what was noted of it, and for the rest the course that was planned.

The first pour, the first break and the end of skimming are tapped; the other bowls are taken to
follow in the table's course, which is what the picture says: it was not seen bowl by bowl. What
was noted of a bowl goes before the course.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

from crustbreak.domain.records.tables import Table
from crustbreak.domain.tables.bowl_facts import Cup, Noted, pour_moment
from crustbreak.domain.tables.state import TableState
from crustbreak.domain.tables.transitions import CUP, CupState


@dataclass(frozen=True, slots=True, kw_only=True)
class CupClock:
    """One bowl's moments, past and to come.

    poured_at:    None before the first pour of the table.
    break_due:    by its own pour; None before the first pour.
    broken_at:    None before the first break, unless it was noted.
    skim_due:     by its own break, done or due; None where no skim was planned.
    skimmed_at:   None where nothing says when.
    taste_from:   by its own pour; None before the first pour.
    spilt_at:     None where it was not.
    noted:        the kinds of what somebody noted of this very bowl.
    """

    poured_at: datetime | None = None
    break_due: datetime | None = None
    broken_at: datetime | None = None
    skim_due: datetime | None = None
    skimmed_at: datetime | None = None
    taste_from: datetime | None = None
    spilt_at: datetime | None = None
    noted: frozenset[str] = frozenset()


def cup_clock(table: Table, state: TableState, *, nth: int) -> CupClock:
    """Return the clock of the nth bowl, from 0 in pouring order."""
    place, cup = table.cups[nth]
    return _clock(table, state, nth=nth, cup=(place.id, cup))


def _clock(table: Table, state: TableState, *, nth: int, cup: Cup) -> CupClock:
    noted = state.bowls.of(cup)
    spilt = noted["bowl spilt"].at if "bowl spilt" in noted else None
    poured = pour_moment(table, noted, nth=nth, poured_at=state.poured_at)
    if poured is None:
        return CupClock(spilt_at=spilt, noted=frozenset(noted))
    times = table.times(nth)
    due = poured + timedelta(seconds=times.break_s - times.pour_s)
    broken = _broken(table, state, noted, nth=nth, due=due)
    return CupClock(
        poured_at=poured,
        break_due=due,
        broken_at=broken,
        skim_due=(broken or due) + _skim_after(table, nth) if table.course else None,
        skimmed_at=_skimmed(table, state, noted, nth=nth, broken=broken),
        taste_from=poured + timedelta(seconds=table.first_round_s),
        spilt_at=spilt,
        noted=frozenset(noted),
    )


def _broken(
    table: Table, state: TableState, noted: Noted, *, nth: int, due: datetime
) -> datetime | None:
    if "bowl broken" in noted:
        return noted["bowl broken"].at
    if state.broken_at is None:
        return None
    if "bowl poured" in noted:
        # Its own cue came when it was due.
        return max(due, state.broken_at)
    return state.broken_at + timedelta(seconds=table.times(nth).break_s - table.times(0).break_s)


def _skimmed(
    table: Table, state: TableState, noted: Noted, *, nth: int, broken: datetime | None
) -> datetime | None:
    if "bowl skimmed" in noted:
        return noted["bowl skimmed"].at
    if broken is None:
        return None
    # A table without a course of its own has no plan for the skim.
    moments = [broken + _skim_after(table, nth)] if table.course else []
    moments += [max(broken, state.skimmed_at)] if state.skimmed_at else []
    return min(moments, default=None)


def _skim_after(table: Table, nth: int) -> timedelta:
    times = table.times(nth)
    return timedelta(seconds=times.skim_s - times.break_s)


def clocks_of(table: Table, state: TableState) -> tuple[CupClock, ...]:
    """Return every bowl's clock, in pouring order."""
    return tuple(
        _clock(table, state, nth=nth, cup=(place.id, cup))
        for nth, (place, cup) in enumerate(table.cups)
    )


def taste_from(table: Table, state: TableState) -> dict[str, datetime]:
    """Return when every bowl of a place that was not spilt may be tasted; empty before the pour."""
    found: dict[str, datetime] = {}
    for (place, _), clock in zip(table.cups, clocks_of(table, state), strict=True):
        if clock.taste_from and clock.spilt_at is None:
            found[place.id] = max(clock.taste_from, found.get(place.id, clock.taste_from))
    return found


def cup_state(table: Table, state: TableState, *, nth: int, now: datetime) -> CupState:
    """Return what the nth bowl (from 0, in pouring order) holds at a moment."""
    return _state_at(state, cup_clock(table, state, nth=nth), now)


def cup_states(table: Table, state: TableState, *, now: datetime) -> tuple[CupState, ...]:
    """Return what each bowl holds at a moment, in pouring order."""
    return tuple(_state_at(state, clock, now) for clock in clocks_of(table, state))


def _state_at(state: TableState, clock: CupClock, now: datetime) -> CupState:
    cup = CupState.EMPTY if state.set_at is None else CupState.DOSED
    for moment, event in (
        (clock.poured_at, "poured"),
        (clock.broken_at, "broken"),
        (clock.skimmed_at, "skimmed"),
        (clock.spilt_at, "spilt"),
    ):
        if moment is not None and now >= moment:
            cup = CUP.get((cup, event), cup)
    return cup
