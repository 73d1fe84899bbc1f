"""Bowls of two coffees held against an open one: the marks of all sittings, and their draws."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from crustbreak.analysis.dataset import Dataset, Rating
from crustbreak.analysis.panel import period_before
from crustbreak.domain.planning.plan_request import as_compared
from crustbreak.domain.sheets.priors import Priors
from crustbreak.numerics.permutation import Stratum
from crustbreak.numerics.posterior import Effort, Posterior, draw_posterior
from crustbreak.numerics.rating_model import RatingPriors
from crustbreak.numerics.ratings import Numbers, Ratings, make_ratings
from crustbreak.questions.match.decision_rule import Spreads

EFFORT = Effort(draws=8_000)
# What one taster alone has for a private taste of a coffee cannot be told from the coffee: the
# answer is that taster's, and no share of the error is taken for it.
NO_SHARE = (-12.0, 0.1)
# Each bowl stands by itself; nothing is averaged within a look. It has to be held so firmly:
# tasters who always write down one mark together have no error of their own, and without this
# least one their marks would weigh more than can be worked out.
NO_UNIT = (0.01, 0.001)
# Numbers of the two in all that is drawn.
CONTROL, COMPARED = 0, 1


@dataclass(frozen=True, slots=True, kw_only=True)
class MatchDraws:
    """What is known of the difference, each draw as likely as the other.

    gaps:       shape (draws,): compared coffee less control, points.
    errors:     shape (draws,): deviation of one taster's mark of one bowl, points.
    posterior:  with the spreads and its own diagnostic.
    tables:     earlier tables of other answers that say how the tasters spread.
    """

    detectable_difference: Numbers
    errors: Numbers
    posterior: Posterior
    tables: int


def sittings_of(dataset: Dataset) -> tuple[Dataset, ...]:
    """Return the tables that make one answer, the first one first and this one last.

    Each adds to the one before; one that has no names yet, or is gone, ends the row.
    """
    by_id = {each.id: each for each in dataset.history if each.id}
    found = [dataset]
    while (before := by_id.get(found[-1].follows)) is not None and before not in found:
        found.append(before)
    return tuple(reversed(found))


def mark_of(rating: Rating) -> float | None:
    """Return how far a rating put its bowl from the open one, points; None where it did not say."""
    return rating.score.total


def strata_of(sittings: Sequence[Dataset]) -> tuple[Stratum, ...]:
    """Return the marks sitting by sitting, tasters by bowls: bowls are what chance dealt out."""
    return tuple(_stratum(dataset) for dataset in sittings)


def _stratum(dataset: Dataset) -> Stratum:
    codes = sorted({rating.code for rating in dataset.ratings})
    tasters = sorted({rating.taster for rating in dataset.ratings})
    values = np.full((len(tasters), len(codes)), np.nan)
    treated = np.zeros(len(codes), dtype=bool)
    for rating in dataset.ratings:
        column = codes.index(rating.code)
        treated[column] = rating.coffee == dataset.coffees[COMPARED]
        mark = mark_of(rating)
        if mark is not None:
            values[tasters.index(rating.taster), column] = mark
    return Stratum(values=values, treated=treated)


def draw_match(dataset: Dataset, sittings: Sequence[Dataset], priors: Priors) -> MatchDraws:
    """Draw by how much the compared coffee lies further off than the control.

    Question answered: how surely do the two lie within so many points. For one taster it is that
    taster's own difference; for several that of tasters like them, each with a private taste of
    either coffee. Assumes the priors, and that sittings of one answer are of the same two coffees.
    Earlier tables of other answers tell how tasters and bowls spread, and nothing of the two: what
    was not declared a further look is none.
    """
    chain = {id(each) for each in sittings}
    others = [each for each in dataset.history if id(each) not in chain]
    ratings = _ratings(dataset, (*reversed(sittings), *others), sittings=len(sittings))
    of_one = _tasters(sittings) < 2
    posterior = draw_posterior(
        ratings,
        match_priors(priors, of_one=of_one),
        wanted=(CONTROL, COMPARED),
        seed=dataset.seed,
        effort=EFFORT,
    )
    sds = posterior.sds
    return MatchDraws(
        detectable_difference=posterior.items[:, COMPARED] - posterior.items[:, CONTROL],
        errors=np.sqrt(sds["own"] ** 2 + sds["batch"] ** 2),
        posterior=posterior,
        tables=sum(bool(each.ratings) for each in others),
    )


def spreads_known(
    history: Sequence[Dataset], priors: Priors, *, seed: int = 0
) -> tuple[Spreads, int]:
    """Return how tasters and bowls spread by the tables before, and how many these are.

    Args:  history: the last one first; without any it is what is assumed.
    """
    tables = [each for each in history if each.ratings]
    if not tables:
        return Spreads(**_medians(priors)), 0
    last = replace(tables[0], history=tuple(tables[1:]), follows="")
    posterior = draw_posterior(
        _ratings(last, (last, *last.history), sittings=1),
        match_priors(priors, of_one=_tasters(tables) < 2),
        wanted=(CONTROL, COMPARED),
        seed=seed,
        effort=EFFORT,
    )
    return spreads_of(posterior), len(tables)


def spreads_of(posterior: Posterior) -> Spreads:
    """Return the medians of what tasters and bowls may spread by."""
    sds = posterior.sds
    return Spreads(
        own=float(np.median(sds["own"])),
        bowl=float(np.median(sds["batch"])),
        private=float(np.median(sds["private"])),
    )


def _medians(priors: Priors) -> dict[str, float]:
    share = 1 / (1 + np.exp(-priors.share[0]))
    look = priors.look[0]
    return {
        "own": float(look * np.sqrt(1 - share)),
        "bowl": priors.cup[0],
        "private": float(look * np.sqrt(share)),
    }


def _tasters(tables: Sequence[Dataset]) -> int:
    return len({as_compared(rating.taster) for each in tables for rating in each.ratings})


def match_priors(priors: Priors, *, of_one: bool) -> RatingPriors:
    """Return the priors as the arithmetic names them; a bowl is a batch that tasters share.

    Args:  of_one: one taster alone has tasted.
    """
    return RatingPriors(
        mean=priors.mean,
        item=priors.coffee,
        batch=priors.cup,
        rater=priors.taster,
        session=priors.table,
        look=priors.look,
        drift=priors.drift,
        unit=NO_UNIT,
        share=NO_SHARE if of_one else priors.share,
    )


def _ratings(dataset: Dataset, tables: Sequence[Dataset], *, sittings: int) -> Ratings:
    """Return every mark as a row; the first tables are of one answer, and share its two coffees."""
    marks: list[float] = []
    rows: list[tuple[int, int, int, int, int]] = []
    raters: dict[str, int] = {}
    bowls: dict[tuple[int, str], int] = {}
    for session, each in enumerate(tables):
        first = 0 if session < sittings else 2 * (session - sittings + 1)
        period = _period(dataset, each)
        for rating in each.ratings:
            mark = mark_of(rating)
            if mark is None:
                continue
            item = first + (rating.coffee == each.coffees[COMPARED])
            rater = raters.setdefault(as_compared(rating.taster), len(raters))
            bowl = bowls.setdefault((session, rating.code), len(bowls))
            marks.append(mark)
            rows.append((item, rater, session, bowl, period))
    items = 2 * (len(tables) - sittings + 1)
    names = ("item", "rater", "session", "batch", "period")
    return make_ratings(
        marks,
        {name: [row[nth] for row in rows] for nth, name in enumerate(names)},
        stream=[0] * items,
        raters=max(1, len(raters)),
    )


def _period(dataset: Dataset, each: Dataset) -> int:
    if each is dataset:
        return 0
    return period_before(dataset, dataset.history.index(each) + 1)
