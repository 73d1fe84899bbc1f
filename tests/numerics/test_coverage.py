"""Intervals hold what they say: labs are drawn, tasted and looked at afterwards.

What is asked of them: nine in ten intervals of nine in ten hold the truth, of the coffees as they
stand, of their differences, and of the coffee that came out best.
"""

from dataclasses import dataclass, replace

import numpy as np
import pytest
from scipy.stats import chisquare

from crustbreak.analysis.panel import rating_priors
from crustbreak.numerics.posterior import Effort, draw_posterior
from crustbreak.numerics.rating_model import NAMES, RatingPriors
from crustbreak.numerics.ratings import Numbers
from priors import TEN_LINE
from simulated_labs import Design, SimulatedLab, draw_lab, draw_spreads

PRIORS = rating_priors(TEN_LINE)
EFFORT = Effort(points=512, draws=1999)
DESIGNS = {
    "three tasters, six coffees": Design(tasters=3, coffees=6),
    "two tasters, two looks, a duplicate": Design(tasters=2, coffees=4, ratings=2, duplicate=True),
    "six tasters, ten coffees": Design(tasters=6, coffees=10),
    "one taster with a history": Design(tasters=1, coffees=5, history=10),
    "five tasters, a fifth missing": Design(tasters=5, coffees=8, missing=0.2),
}
# Standard deviations of labs as they may be, points. How even coffee and roasts are is not theirs.
COFFEE = {"item": 1.3, "batch": 0.5, "unit": 0.4}
LABS = {
    "careful": {**COFFEE, "rater": 0.8, "look": 0.6, "session": 0.3, "drift": 0.1},
    "usual": {**COFFEE, "rater": 1.2, "look": 0.95, "session": 0.4, "drift": 0.2},
    "noisy": {**COFFEE, "rater": 1.8, "look": 1.6, "session": 0.8, "drift": 0.4},
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """How often intervals of nine in ten held the truth, and where in the draws it lay.

    width:  their mean width, points.
    ranks:  the truth's place among the draws, 0 to 1, of one coffee a lab.
    """

    absolute: float
    relative: float
    best: float
    width: float
    ranks: Numbers


def try_labs(labs: list[SimulatedLab], priors: RatingPriors, *, seed: int) -> Held:
    """Taste in each lab and look whether the intervals hold the truth."""
    hits, widths, ranks = np.zeros(3), [], []
    for nth, lab in enumerate(labs):
        coffees = len(lab.totals)
        found = draw_posterior(
            lab.ratings, priors, wanted=range(coffees), seed=seed + nth, effort=EFFORT
        )
        totals = found.items + found.raters[:, lab.tasters].mean(axis=1, keepdims=True)
        low, high = np.quantile(totals, [0.05, 0.95], axis=0)
        inside = (low < lab.totals) & (lab.totals < high)
        apart = totals - totals.mean(axis=1, keepdims=True)
        truly = lab.totals - lab.totals.mean()
        near, far = np.quantile(apart, [0.05, 0.95], axis=0)
        best = int(totals.mean(axis=0).argmax())
        hits += (inside.mean(), ((near < truly) & (truly < far)).mean(), inside[best])
        widths.append((far - near).mean())
        ranks.append((totals[:, 0] < lab.totals[0]).mean())
    absolute, relative, selected = hits / len(labs)
    return Held(
        absolute=absolute,
        relative=relative,
        best=selected,
        width=float(np.mean(widths)),
        ranks=np.array(ranks),
    )


def from_the_priors(design: Design, *, labs: int, seed: int) -> list[SimulatedLab]:
    chance = np.random.default_rng(seed)
    return [draw_lab(chance, design, draw_spreads(chance, PRIORS)) for _ in range(labs)]


def at_the_spreads(name: str, design: Design, *, labs: int, seed: int) -> list[SimulatedLab]:
    chance = np.random.default_rng(seed)
    return [draw_lab(chance, design, {**LABS[name], "share": 0.5}) for _ in range(labs)]


def test_intervals_of_a_few_hundred_labs_hold_about_nine_in_ten() -> None:
    # 250 labs: the share of a coffee's intervals spreads by about 0.019 from run to run, since
    # the coffees of a lab share its luck; four of that either way.
    held = try_labs(
        from_the_priors(DESIGNS["three tasters, six coffees"], labs=250, seed=11), PRIORS, seed=1
    )

    assert held.absolute == pytest.approx(0.90, abs=0.06)
    assert held.relative == pytest.approx(0.90, abs=0.04)
    assert held.best == pytest.approx(0.90, abs=0.08)


@pytest.mark.soak
@pytest.mark.timeout(3600)
@pytest.mark.parametrize("name", DESIGNS)
def test_intervals_hold_what_they_say_when_the_priors_are_true(name: str) -> None:
    held = try_labs(from_the_priors(DESIGNS[name], labs=4000, seed=21), PRIORS, seed=1)

    print(f"\n{name}: {held.absolute:.3f} {held.relative:.3f} {held.best:.3f}")  # noqa: T201
    for share in (held.absolute, held.relative, held.best):
        assert 0.88 <= share <= 0.92
    counts, _ = np.histogram(held.ranks, bins=20, range=(0, 1))
    assert chisquare(counts).pvalue > 0.001


@pytest.mark.soak
@pytest.mark.timeout(3600)
@pytest.mark.parametrize("name", LABS)
@pytest.mark.parametrize("history", [0, 40])
def test_named_labs_are_served_and_better_after_forty_tables(name: str, history: int) -> None:
    # A year's tables, in which people drift.
    design = Design(tasters=3, coffees=6, history=history, quarters=4 if history else 1)
    labs = at_the_spreads(name, design, labs=1000, seed=31)

    held = try_labs(labs, PRIORS, seed=1)

    known = {each: (LABS[name][each], 1e-3) for each in NAMES}
    sure = try_labs(labs[:200], replace(PRIORS, **known, share=(0.0, 1e-3)), seed=1)
    print(  # noqa: T201
        f"\n{name}, {history} tables before: {held.absolute:.3f} {held.relative:.3f} "
        f"{held.best:.3f}, width {held.width:.2f} against {sure.width:.2f} with known spreads"
    )
    low, high = (0.87, 0.93) if history else (0.80, 1.0)
    for share in (held.absolute, held.relative, held.best):
        assert low <= share <= high
    assert held.width <= 1.25 * sure.width


def test_the_best_three_of_forty_were_also_lucky_and_the_draws_know_it() -> None:
    # Common practice, no source: forty offers, true deviation 1.5, error of a mean 0.8; the best
    # three score 0.7 too high, and 38 in 100 "drop" by more than a point when tasted again.
    spreads = {
        **dict.fromkeys(NAMES, 1e-6),
        "item": 1.5,
        "look": 0.8,
        "share": 1e-6,
    }
    known = replace(
        PRIORS,
        **{name: (max(spreads[name], 1e-3), 1e-3) for name in NAMES},
        share=(-10.0, 1e-3),
    )
    chance = np.random.default_rng(41)
    luck, told, drops = [], [], []
    for nth in range(150):
        lab = draw_lab(chance, Design(tasters=1, coffees=40), spreads, mean=(83.0, 0.01))
        best = np.argsort(-lab.ratings.values)[:3]
        found = draw_posterior(lab.ratings, known, seed=nth, effort=Effort(points=64, draws=200))
        expected = found.items.mean(axis=0) + found.raters.mean()
        again = lab.totals[best] + 0.8 * chance.standard_normal(3)
        luck.append((lab.ratings.values[best] - lab.totals[best]).mean())
        told.append((lab.ratings.values[best] - expected[best]).mean())
        drops.append((lab.ratings.values[best] - again > 1).mean())

    assert np.mean(luck) == pytest.approx(0.7, abs=0.08)
    assert np.mean(told) == pytest.approx(np.mean(luck), abs=0.08)
    assert np.mean(drops) == pytest.approx(0.38, abs=0.06)


def test_a_coffee_a_little_under_the_line_passes_three_times_in_ten() -> None:
    # Common practice, no source: standard error 0.5, truly 0.25 under the line, passes in 31 of
    # 100 by its mean; the chance over the line that the draws give it says how thin that is.
    spreads = {**dict.fromkeys(NAMES, 1e-6), "look": 0.5, "share": 1e-6}
    flat = replace(
        PRIORS,
        **{name: (max(spreads[name], 1e-3), 1e-3) for name in NAMES},
        share=(-10.0, 1e-3),
        mean=(83.0, 100.0),
    )
    chance = np.random.default_rng(51)
    passed, sure = [], []
    for nth in range(400):
        lab = draw_lab(chance, Design(tasters=1, coffees=1), spreads, mean=(83.0, 1e-6))
        found = draw_posterior(lab.ratings, flat, seed=nth, effort=Effort(points=64, draws=400))
        over = (found.items[:, 0] > 83.25).mean()
        # Marks are quarters: one that is on the line counts half.
        mark = float(lab.ratings.values[0])
        passed.append((mark > 83.25) + 0.5 * (mark == 83.25))
        sure.append(over > 0.8)

    assert np.mean(passed) == pytest.approx(0.31, abs=0.06)
    assert np.mean(sure) < 0.15
