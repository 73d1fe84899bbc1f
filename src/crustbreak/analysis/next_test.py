"""The cheapest next test: what more tasting would be worth, before anybody tastes.

Every coffee is bought or declined by where it lies of the cut-off. Being wrong costs the points
by which it lies on the other side, less a margin that nobody would pay for. A test is worth what
it is expected to take off that cost, a minute. Where price and kilos are known the points are
money, and so are the tasters' hours.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr

from crustbreak.analysis.dataset import Dataset
from crustbreak.analysis.monetary_value import MonetaryValue, monetary_value_of
from crustbreak.analysis.panel import PanelDraws
from crustbreak.analysis.uncertainty import INDIFFERENT
from crustbreak.numerics.posterior import doubt_at
from crustbreak.numerics.ratings import Numbers, Ratings, make_ratings

# A coffee is worth another test while the chance that it is over the cut-off lies between.
OPEN = (0.1, 0.9)
# Below this much expected regret, points, there is nothing left to settle.
SETTLED = 0.05
# A test that saves a smaller share of the regret is not worth the setting of a table.
WORTH = 0.2

# Minutes of a table: setting and clearing, each coffee, each coffee roasted anew, asking a taster
# in. Common practice, no source.
TABLE_MIN, COFFEE_MIN, ROAST_MIN, GUEST_MIN = 50.0, 6.0, 15.0, 15.0

# Points of the normal distribution at which what a test may show is tried.
NODES, WEIGHTS = np.polynomial.hermite_e.hermegauss(31)


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One thing that could be done.

    say:      what, as a sentence without its end.
    coffees:  which ones are tasted.
    minutes:  how long it takes, roughly.
    saved:    expected regret that it takes off, points.
    gain, cost:  the same in money, and what the tasters' hours cost; None without prices.
    """

    say: str
    coffees: tuple[str, ...]
    minutes: float
    saved: float
    gain: float | None = None
    cost: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class NextTest:
    """What to do next.

    regret:   expected cost of deciding now, points over all coffees.
    answer:   `settled`, `a tie`, `test`, or `nothing affordable will tell`.
    tied:     coffees so close to the cut-off that either decision costs next to nothing.
    best:     the test that saves the most a minute; None unless there is one worth it.
    menu:     all that were weighed, the best first.
    loss:     the regret in money; None without prices.
    stakes:   by which points were made money; None without prices.
    """

    regret: float
    answer: str
    best: Trial | None
    menu: tuple[Trial, ...]
    tied: tuple[str, ...] = ()
    loss: float | None = None
    stakes: MonetaryValue | None = None


def compare_tests(dataset: Dataset, panel: PanelDraws) -> NextTest:
    """Weigh what could be tasted next.

    Question answered: is another tasting worth its time, and which. Assumes that what is known
    of a coffee is about Gaussian, and the spreads that are typical after this table.
    """
    means, sds = panel.totals.mean(axis=0), panel.totals.std(axis=0)
    each = expected_regret(means - dataset.cut_off, sds)
    chance = (panel.totals > dataset.cut_off).mean(axis=0)
    undecided = [at for at, held in enumerate(chance) if OPEN[0] <= held <= OPEN[1]]
    stakes = monetary_value_of(dataset)
    value = np.array(stakes.per_point) if stakes else np.ones(len(each))
    settled = NextTest(
        regret=round(float(each.sum()), 4),
        answer="settled",
        best=None,
        menu=(),
        loss=round(float(each @ value), 4) if stakes else None,
        stakes=stakes,
    )
    if not undecided or (stakes is None and settled.regret < SETTLED):
        at_the_line = are_tied(means - dataset.cut_off, sds)
        tied = tuple(dataset.coffees[at].name for at in undecided if at_the_line[at])
        return replace(settled, answer="a tie", tied=tied) if tied else settled
    trials = [_trial_of(option, undecided, dataset, panel) for option in _options(len(undecided))]
    if len(undecided) > 1:
        most = max(undecided, key=lambda at: each[at] * value[at])
        trials.append(_trial_of(_alone(dataset.coffees[most].name), [most], dataset, panel))
    return choose_test(settled, trials)


def choose_test(deciding_now: NextTest, trials: Sequence[Trial]) -> NextTest:
    """Choose, of the trials that are worth it, the one that saves most a minute.

    In points a trial is worth it if it takes a fifth off the regret; in money if it saves what the
    tasters' hours cost.

    Args:  deciding_now: what deciding without a test costs. trials: at least one.
    """
    menu = sorted(trials, key=lambda each: -_saved(each) / each.minutes)
    best = next((each for each in menu if _is_worth_it(each, deciding_now)), None)
    answer = "test" if best else "nothing affordable will tell"
    if deciding_now.loss is not None and deciding_now.loss < min(each.cost or 0 for each in menu):
        # Even a test that told everything would cost more than not knowing.
        answer, best, menu = "settled", None, []
    return replace(deciding_now, answer=answer, best=best, menu=tuple(menu))


def _saved(trial: Trial) -> float:
    return trial.saved if trial.gain is None else trial.gain


def _is_worth_it(trial: Trial, deciding_now: NextTest) -> bool:
    if trial.gain is None or trial.cost is None:
        return trial.saved >= WORTH * deciding_now.regret
    return trial.gain >= trial.cost


def expected_regret(margins: Numbers, sds: Numbers) -> Numbers:
    """Return the expected cost of the better of buying and declining.

    Args:     margins: expected total less the cut-off, points. sds: how surely, points.
    Returns:  points, of the margins' shape, never below zero.
    Source:   the mean of a normal distribution beyond a point, by its closed form.
    """
    bought = _beyond(-margins - INDIFFERENT, sds)
    declined = _beyond(margins - INDIFFERENT, sds)
    return np.minimum(bought, declined)


def are_tied(margins: Numbers, sds: Numbers) -> npt.NDArray[np.bool_]:
    """Return where buying and declining both cost less than is worth settling.

    Args:     as `expected_regret`.
    Returns:  of the margins' shape.
    """
    bought = _beyond(-margins - INDIFFERENT, sds)
    declined = _beyond(margins - INDIFFERENT, sds)
    return np.maximum(bought, declined) < SETTLED


def _beyond(mean: Numbers, sd: Numbers) -> Numbers:
    at = mean / np.maximum(sd, 1e-12)
    density = np.exp(-0.5 * at**2) / np.sqrt(2 * np.pi)
    beyond: Numbers = mean * ndtr(at) + sd * density
    return np.maximum(beyond, 0.0)


@dataclass(frozen=True, slots=True)
class _Option:
    say: str
    is_new_roast: bool
    guests: int
    looks: int
    minutes: float


def _options(coffees: int) -> Sequence[_Option]:
    table = TABLE_MIN + COFFEE_MIN * coffees
    roasts = ROAST_MIN * coffees
    return (
        _Option("the same tasters, another table, new codes", False, 0, 1, table),
        _Option("the same tasters, another day, a new roast", True, 0, 1, table + roasts),
        _Option(
            "the same tasters, a new roast, each coffee under two codes",
            True,
            0,
            2,
            table + roasts + COFFEE_MIN * coffees,
        ),
        _Option("two more tasters, the same roast", False, 2, 1, table + 2 * GUEST_MIN),
        _Option("two more tasters, a new roast", True, 2, 1, table + roasts + 2 * GUEST_MIN),
    )


def _alone(name: str) -> _Option:
    minutes = TABLE_MIN + COFFEE_MIN + ROAST_MIN
    return _Option(f"the same tasters, a new roast of {name} alone", True, 0, 1, minutes)


def _trial_of(
    option: _Option, undecided: Sequence[int], dataset: Dataset, panel: PanelDraws
) -> Trial:
    more = _with_more(panel, option, undecided)
    before, after = (
        doubt_at(
            each,
            panel.priors,
            panel.posterior.typical,
            wanted=undecided,
            raters=panel.scale,
        )
        for each in (panel.ratings, more)
    )
    means, sds = panel.totals.mean(axis=0)[undecided], panel.totals.std(axis=0)[undecided]
    # The share of the doubt that the test takes away; the rest stays whatever it shows.
    learnt = np.clip(1 - (after / before) ** 2, 0.0, 1.0)
    shown = (means - dataset.cut_off)[:, None] + (sds * np.sqrt(learnt))[:, None] * NODES
    left = np.broadcast_to((sds * np.sqrt(1 - learnt))[:, None], shown.shape)
    afterwards = expected_regret(shown, left) @ (WEIGHTS / WEIGHTS.sum())
    saved = np.maximum(expected_regret(means - dataset.cut_off, sds) - afterwards, 0.0)
    stakes = monetary_value_of(dataset)
    gain = cost = None
    if stakes:
        gain = round(float(saved @ np.array(stakes.per_point)[undecided]), 4)
        people = len(panel.tasters) + option.guests
        cost = round(option.minutes / 60 * stakes.hour_cost * people, 4)
    return Trial(
        say=option.say,
        coffees=tuple(dataset.coffees[at].name for at in undecided),
        minutes=option.minutes,
        saved=round(float(saved.sum()), 4),
        gain=gain,
        cost=cost,
    )


def _with_more(panel: PanelDraws, option: _Option, undecided: Sequence[int]) -> Ratings:
    """Add the rows that a test would bring; what they say is not asked."""
    ratings = panel.ratings
    who = [*panel.tasters, *range(ratings.raters, ratings.raters + option.guests)]
    rows = [(at, rater) for at in undecided for rater in who for _ in range(option.looks)]
    added = len(rows)
    columns = {
        "item": [at for at, _ in rows],
        "rater": [rater for _, rater in rows],
        "session": [ratings.sessions] * added,
        # Today's roast has the number of today's table; one beyond all tables is new.
        "batch": [ratings.sessions if option.is_new_roast else 0] * added,
        "period": [0] * added,
    }
    return make_ratings(
        np.concatenate([ratings.values, np.zeros(added)]),
        {
            name: np.concatenate([getattr(ratings, name), np.asarray(column)])
            for name, column in columns.items()
        },
        units=np.concatenate([ratings.units, np.full(added, ratings.units.max(initial=1.0))]),
        stream=ratings.stream,
        raters=ratings.raters,
    )
