"""What a table's tasters make of its coffees, with all that earlier tables say of the tasters.

The unit is one taster's rating at one code: five bowls under it are one look. Quality and bad bowls
are two things: the lines are weighed as points, taints and faults as a share of bowls, and only
then is one taken from the other.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from crustbreak.analysis.dataset import Dataset, Rating
from crustbreak.domain.planning.plan_request import as_compared
from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.sheets.priors import Priors
from crustbreak.numerics.posterior import Effort, Posterior, draw_posterior
from crustbreak.numerics.rates import FaultRate, RatePriors, exact_upper, fault_rate
from crustbreak.numerics.rating_model import RatingPriors
from crustbreak.numerics.ratings import Numbers, Ratings, make_ratings

CERTAINTY = 0.95
# A taster is taken to be the same for so many days, and may drift from one such period to the next.
DRIFT_DAYS = 91
# With so many a chance is told to a third of a hundredth: coffees of the same marks look the same.
EFFORT = Effort(draws=16_000)


@dataclass(frozen=True, slots=True, kw_only=True)
class BadBowls:
    """What a table, and earlier ones of the same lot, say of a coffee's bad bowls.

    found:        bowls that anyone flagged, of `bowls` that anyone judged.
    upper:        the share is below it with 95 in 100, tasters missing some.
    exact_upper:  the same for a reader without priors, were none missed.
    cost:         what such bowls take off a sheet on average, points.
    """

    found: int
    bowls: int
    upper: float
    exact_upper: float
    cost: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelDraws:
    """Draws of what is known of each coffee; each draw is as likely as the other.

    coffees:    in the order of the columns.
    ratings:    the looks that were weighed.
    anchors:    names of those whose mean is the scale: the lab's where one of them has tasted,
                else today's tasters.
    tasters:    today's among the raters of `ratings`; `scale` are those of the anchors.
    totals:     shape (draws, coffees): the long-run mean of the total, on that scale, points.
    posterior:  of the lines alone, with the spreads and its own diagnostic.
    bad_bowls:  by coffee.
    looks:      how many complete looks there are, today and before.
    """

    coffees: tuple[Coffee, ...]
    ratings: Ratings
    priors: RatingPriors
    anchors: tuple[str, ...]
    scale: tuple[int, ...]
    tasters: tuple[int, ...]
    totals: Numbers
    posterior: Posterior
    bad_bowls: tuple[BadBowls, ...]
    looks: tuple[int, int]


def draw_panel(dataset: Dataset, priors: Priors, *, conditions: int = 0) -> PanelDraws:
    """Draw what is known of the coffees of a table, and of tables beside it.

    Question answered: where does each coffee's long-run total lie on the lab's scale, that is,
    on the mean of its anchors' own as they taste today; of today's tasters where it has none.
    Assumes the priors; that every earlier rating on the sheet is in the dataset's history,
    bought or not; that a lot was roasted anew for each table. Not for coffees of several streams
    at one table.

    Args:  beside: so many tables, the first of the history, are asked about as the dataset is; no
           lot stands on two of these.
    """
    older = dataset.history[conditions:]
    near = (dataset, *(replace(each, history=older) for each in dataset.history[:conditions]))
    stood = [(each, coffee) for each in near for coffee in each.coffees]
    every = (dataset, *dataset.history)
    # Today's tasters have the first numbers.
    numbers = _numbered(
        [rating.taster for each in every for rating in (*each.ratings, *each.control_ratings)]
    )
    today = {as_compared(rating.taster) for each in near for rating in each.ratings}
    tasters = tuple(sorted(numbers[name] for name in today))
    anchors = tuple(name for name in dataset.lab_settings.anchors if as_compared(name) in numbers)
    scale = tuple(numbers[as_compared(name)] for name in anchors) or tasters
    ratings = _ratings(dataset, numbers)
    posterior = draw_posterior(
        ratings,
        rating_priors(priors),
        wanted=range(len(stood)),
        seed=dataset.seed,
        effort=EFFORT,
    )
    quality = posterior.items + posterior.raters[:, scale].mean(axis=1, keepdims=True)
    chance = np.random.Generator(np.random.Philox(dataset.seed + 1))
    costs, bad_bowls = [], []
    for at, coffee in stood:
        rate, found = _bad_bowls(coffee, at, priors)
        cost = _cost(coffee, at, rate)
        costs.append(chance.choice(cost, size=len(quality), p=rate.weights))
        bad_bowls.append(found)
    return PanelDraws(
        coffees=tuple(coffee for _, coffee in stood),
        ratings=ratings,
        priors=rating_priors(priors),
        anchors=anchors,
        scale=scale,
        tasters=tasters,
        totals=quality - np.stack(costs, axis=1),
        posterior=posterior,
        bad_bowls=tuple(bad_bowls),
        looks=(len(_complete(dataset)), sum(len(_complete(each)) for each in dataset.history)),
    )


def rating_priors(priors: Priors) -> RatingPriors:
    """Return the priors as the arithmetic names them."""
    return RatingPriors(
        mean=priors.mean,
        item=priors.coffee,
        batch=priors.roast,
        rater=priors.taster,
        session=priors.table,
        look=priors.look,
        drift=priors.drift,
        unit=priors.cup,
        share=priors.share,
    )


def _complete(dataset: Dataset) -> list[Rating]:
    return [rating for rating in dataset.ratings if rating.score.summed is not None]


def _numbered(names: Sequence[str]) -> dict[str, int]:
    compared = dict.fromkeys(as_compared(name) for name in names)
    return {name: number for number, name in enumerate(compared)}


def _ratings(dataset: Dataset, tasters: Mapping[str, int]) -> Ratings:
    """Return every rating as a row; today's coffees come first, a lot's roast goes by its table."""
    rows = []
    items: dict[object, int] = {}
    for session, each in enumerate((dataset, *dataset.history)):
        item = {
            coffee.id: items.setdefault(each.lots.get(coffee.id, (session, coffee.id)), len(items))
            for coffee in each.coffees
        }
        rows += [(rating, item[rating.coffee.id], session, session) for rating in _complete(each)]
    # After all of today's coffees, whose numbers are asked for. Its portions are of one roast.
    for session, each in enumerate((dataset, *dataset.history)):
        for rating in each.control_ratings:
            if rating.score.summed is not None:
                lot = ("control", each.lots.get(rating.coffee.id, (session, rating.coffee.id)))
                rows.append((rating, items.setdefault(lot, len(items)), session, 0))
    return make_ratings(
        [rating.score.summed or 0.0 for rating, _, _, _ in rows],
        {
            "item": [item for _, item, _, _ in rows],
            "rater": [tasters[as_compared(rating.taster)] for rating, _, _, _ in rows],
            "session": [session for _, _, session, _ in rows],
            "period": [period_before(dataset, session) for _, _, session, _ in rows],
            "batch": [roast for _, _, _, roast in rows],
        },
        units=[rating.cups for rating, _, _, _ in rows],
        stream=[0] * len(items),
        raters=len(tasters),
    )


def period_before(dataset: Dataset, session: int) -> int:
    """Return how many periods a table of the history lies before a dataset's own, which is 0."""
    before = dataset.history[session - 1].at if session else None
    if before is None or dataset.at is None:
        return 0
    return max(0, (dataset.at - before).days // DRIFT_DAYS)


def _bad_bowls(coffee: Coffee, dataset: Dataset, priors: Priors) -> tuple[FaultRate, BadBowls]:
    lines = [line.id for line in dataset.sheet.scored if line.penalty]
    judged: dict[tuple[int, str, int], tuple[int, int]] = {}
    stood = ((dataset, coffee), *dataset.lots_before(coffee))
    for table, (at, there) in enumerate(stood):
        for rating in at.ratings_of(there):
            if not lines or any(line not in rating.score.lines for line in lines):
                continue
            for bowl in rating.score.bowls or range(1, rating.cups + 1):
                flagged = any(bowl in rating.score.flagged.get(line, ()) for line in lines)
                noticed, judges = judged.get((table, rating.code, bowl), (0, 0))
                judged[table, rating.code, bowl] = (noticed + flagged, judges + 1)
    rate = fault_rate(
        list(judged.values()),
        RatePriors(rate=priors.bad_bowls, detection=priors.detection),
        certainty=CERTAINTY,
    )
    found = sum(noticed > 0 for noticed, _ in judged.values())
    return rate, BadBowls(
        found=found,
        bowls=len(judged),
        upper=round(rate.upper, 4),
        exact_upper=round(exact_upper(found, len(judged), certainty=CERTAINTY), 4),
        cost=round(float(_cost(coffee, dataset, rate) @ rate.weights), 4),
    )


def _cost(coffee: Coffee, dataset: Dataset, rate: FaultRate) -> Numbers:
    """Give, over the grid, what bad bowls take off one taster's sheet on average."""
    noticed = rate.grid[:, 0] * rate.grid[:, 1]
    cost: Numbers = dataset.sheet.cups * noticed * _severity(coffee, dataset)
    return cost


def _severity(coffee: Coffee, dataset: Dataset) -> float:
    """Return the points that one flagged bowl costs: of those flagged, else the least there are."""
    worth = {
        (line.id, option.id): -option.points
        for line in dataset.sheet.scored
        if line.penalty
        for option in line.options
        if option.points < 0
    }
    flagged = [
        worth[line, word]
        for at, there in ((dataset, coffee), *dataset.lots_before(coffee))
        for rating in at.ratings_of(there)
        for line, bowls in rating.score.flagged.items()
        for word in bowls.values()
        if (line, word) in worth
    ]
    if flagged:
        return sum(flagged) / len(flagged)
    return min(worth.values(), default=0.0)
