"""Benches for tests: real ones, and small ones that can be solved exactly."""

from hypothesis import strategies as st

from crustbreak.analysis.scheduling.bench import Bench, Kettles, Pace


def bench(
    cups: int, *, people: int = 1, kettles: int = 1, pours: int = 120, reheat_s: int = 150
) -> Bench:
    """Give a bench at a usual pace, without a limit of time."""
    return Bench(
        cups=cups,
        people=people,
        pace=Pace(pour_s=8, break_s=8, skim_s=5),
        kettles=Kettles(count=kettles, pours=pours, reheat_s=reheat_s),
        within_s=None,
    )


@st.composite
def real_benches(draw: st.DrawFn) -> Bench:
    """Draw any bench that somebody might stand at."""
    return Bench(
        cups=draw(st.integers(1, 45)),
        people=draw(st.integers(1, 4)),
        pace=Pace(
            pour_s=draw(st.integers(3, 20)),
            break_s=draw(st.integers(3, 20)),
            skim_s=draw(st.integers(2, 15)),
            gap_s=draw(st.integers(1, 4)),
        ),
        kettles=Kettles(
            count=draw(st.integers(1, 3)),
            pours=draw(st.integers(1, 30)),
            reheat_s=draw(st.integers(0, 300)),
        ),
        steep_s=draw(st.integers(180, 300)),
        tolerance_s=draw(st.integers(0, 15)),
        within_s=draw(st.none() | st.integers(200, 3000)),
    )


@st.composite
def small_benches(draw: st.DrawFn) -> Bench:
    """Draw a bench of few cups and a short steep, so that cups get into each other's way."""
    people = draw(st.integers(1, 2))
    cups = draw(st.integers(1, 4 - people // 2))
    kettles = draw(st.integers(1, 2))
    return Bench(
        cups=cups,
        people=people,
        pace=Pace(
            pour_s=draw(st.integers(1, 6)),
            break_s=draw(st.integers(1, 6)),
            skim_s=draw(st.integers(1, 6)),
            gap_s=draw(st.integers(1, 2)),
        ),
        kettles=Kettles(
            count=kettles,
            pours=draw(st.integers(1, cups)) if kettles == 1 else cups,
            reheat_s=draw(st.integers(0, 20)),
        ),
        steep_s=draw(st.integers(13, 25)),
        tolerance_s=draw(st.integers(0, 4)),
        within_s=draw(st.integers(15, 90)),
    )
