"""The exact shortest finish of a small bench, by mixed-integer programming (SciPy's HiGHS).

Every order of every two acts is a choice of its own, so it takes minutes beyond six cups. It
shares no line with the program: the rules are written out once more as inequalities. One kettle
may have several fills; several kettles have to hold enough for all cups in one.
"""

from itertools import combinations

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from crustbreak.analysis.scheduling.bench import Bench

POUR, BREAK, SKIM = range(3)


class Model:
    """Variables and inequalities on their way to the solver."""

    def __init__(self) -> None:
        self.names: dict[tuple, int] = {}
        self.most: list[float] = []
        self.rows: list[dict[int, float]] = []
        self.least: list[float] = []

    def variable(self, *name: object, most: float = 1) -> int:
        self.names[name] = len(self.most)
        self.most.append(most)
        return self.names[name]

    def at_least(self, row: dict[int, float], least: float) -> None:
        self.rows.append(row)
        self.least.append(least)

    def one_of(self, *variables: int) -> None:
        self.at_least(dict.fromkeys(variables, 1), 1)
        self.at_least(dict.fromkeys(variables, -1), -1)

    def after(self, later: int, earlier: int, by: float, *unless: dict[int, float]) -> None:
        """Let one time be later than another by so much, unless a choice lifts it."""
        row: dict[int, float] = {later: 1, earlier: -1}
        for lift in unless:
            row |= lift
        self.at_least(row, by)

    def solve(self, goal: int, seconds: float) -> float | None:
        matrix = np.zeros((len(self.rows), len(self.most)))
        for at, row in enumerate(self.rows):
            for variable, weight in row.items():
                matrix[at, variable] = weight
        cost = np.zeros(len(self.most))
        cost[goal] = 1
        found = milp(
            cost,
            constraints=LinearConstraint(matrix, self.least, np.inf),
            bounds=Bounds(0, self.most),
            integrality=np.ones(len(self.most)),
            options={"time_limit": seconds},
        )
        return float(found.fun) if found.status == 0 else None


def exact_finish_s(
    bench: Bench, *, tolerance_s: int, no_later_than_s: int, seconds: float = 60
) -> int | None:
    """Give the shortest finish there is, s; None when the solver did not end in time.

    Args:  no_later_than_s: a finish that can be had, so that the solver has less to search.
    """
    assert bench.kettles.count == 1 or bench.kettles.pours >= bench.cups
    model = Model()
    end = model.variable("end", most=no_later_than_s)
    start = {
        (cup, work): model.variable("start", cup, work, most=no_later_than_s)
        for cup in range(bench.cups)
        for work in (POUR, BREAK, SKIM)
    }
    pace = bench.pace
    for cup in range(bench.cups):
        pour, crust, skim = (start[cup, work] for work in (POUR, BREAK, SKIM))
        model.after(crust, pour, bench.steep_s - tolerance_s)
        model.at_least({pour: 1, crust: -1}, -(bench.steep_s + tolerance_s))
        model.after(skim, crust, pace.break_s + pace.gap_s)
        model.after(end, skim, pace.skim_s)
        if cup:
            model.after(pour, start[cup - 1, POUR], 0)
    apart(model, bench, start, no_later_than_s)
    fills(model, bench, start)
    found = model.solve(end, seconds)
    return None if found is None else round(found)


def apart(model: Model, bench: Bench, start: dict, latest_s: int) -> None:
    """Keep acts of one person, and pours of one kettle, apart."""
    pace = bench.pace
    held = [each + pace.gap_s for each in (pace.pour_s, pace.break_s, pace.skim_s)]
    much = latest_s + max(held)
    person = {act: shares(model, bench.people, "person", act) for act in start}
    kettle = {cup: shares(model, bench.kettles.count, "kettle", cup) for cup in range(bench.cups)}
    for one, other in combinations(sorted(start), 2):
        if one[0] == other[0]:
            continue
        first = model.variable("first", one, other)
        pairs = list(zip(person[one], person[other], strict=True))
        if one[1] == other[1] == POUR:
            pairs += zip(kettle[one[0]], kettle[other[0]], strict=True)
        for mine, yours in pairs:
            # Both choices are 1 where the two acts share a person or a kettle.
            same = {mine: -much, yours: -much}
            model.after(start[other], start[one], held[one[1]] - 3 * much, same, {first: -much})
            model.after(start[one], start[other], held[other[1]] - 2 * much, same, {first: much})


def shares(model: Model, count: int, *name: object) -> list[int]:
    choices = [model.variable(*name, no) for no in range(count)]
    model.one_of(*choices)
    return choices


def fills(model: Model, bench: Bench, start: dict) -> None:
    """Let one kettle be reheated once at least in every run of pours longer than a fill."""
    kettles, pace = bench.kettles, bench.pace
    if kettles.pours >= bench.cups:
        return
    pauses = [model.variable("pause", cup) for cup in range(bench.cups - 1)]
    for cup, pause in enumerate(pauses):
        model.after(
            start[cup + 1, POUR],
            start[cup, POUR],
            pace.pour_s,
            {pause: -kettles.reheat_s},
        )
    for cup in range(bench.cups - kettles.pours):
        model.at_least(dict.fromkeys(pauses[cup : cup + kettles.pours], 1), 1)
