"""The posterior against long runs of a general sampler: [S13], its script beside this file.

Tolerance: four Monte Carlo errors of both, and what the importance sample and its 16,000 draws
leave open. Twenty thousand sampler draws and sixteen thousand of ours spread a mean by about a
hundredth of a point.
"""

import json
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from crustbreak.analysis.panel import rating_priors
from crustbreak.numerics.posterior import Effort, Posterior, draw_posterior
from crustbreak.numerics.ratings import Numbers, make_ratings
from posterior_mcmc import CUT_OFF, DRIFT, SDS
from priors import TEN_LINE

MADE = json.loads(Path(__file__).with_name("posterior_mcmc.json").read_text(encoding="utf-8"))
DRAWS = 16_000
TABLES = sorted(MADE["tables"])


@cache
def ours(name: str) -> tuple[Posterior, Numbers]:
    told = MADE["tables"][name]["table"]
    named = ("item", "batch", "rater", "session", "period")
    columns = {each: told[each] for each in named if each in told}
    ratings = make_ratings(told["values"], columns, units=told["cups"], stream=told["stream"])
    found = draw_posterior(
        ratings,
        rating_priors(TEN_LINE),
        wanted=range(told["coffees"]),
        seed=7,
        effort=Effort(points=4096, draws=DRAWS),
    )
    mine = found.raters[:, : told["tasters"]].mean(axis=1, keepdims=True)
    return found, found.items + mine


def compare(name: str, found: Any, expected: str, *, spread: Any) -> None:
    told = MADE["tables"][name]
    # What the sampler never drew has no error there.
    errors = np.nan_to_num(np.array(told["errors"][expected], dtype=float))
    tolerance = 4 * np.hypot(errors, np.asarray(spread) / np.sqrt(DRAWS / 2))
    assert np.abs(np.asarray(found) - told[expected]).max() <= tolerance.max()


def test_the_oracle_was_run_long_enough_and_on_the_priors_that_are_shipped() -> None:
    for table in MADE["tables"].values():
        assert table["rhat"] < 1.01
        assert table["effective"] > 5000
    priors = rating_priors(TEN_LINE)
    assert {name: getattr(priors, name) for name in SDS} == SDS
    assert priors.drift == DRIFT
    assert MADE["cut_off"] == CUT_OFF


@pytest.mark.parametrize("name", TABLES)
def test_coffees_lie_where_the_sampler_finds_them(name: str) -> None:
    _, totals = ours(name)
    sd = totals.std(axis=0)

    compare(name, totals.mean(axis=0), "mean", spread=sd)
    compare(name, sd, "sd", spread=sd)
    told = MADE["tables"][name]
    # A quantile at 5 % of a Gaussian spreads 2.11 times as far as its mean.
    tolerance = 4 * 2.11 * sd * np.hypot(told["effective"] ** -0.5, (DRAWS / 2) ** -0.5)
    for quantile, end in ((0.05, "low"), (0.95, "high")):
        apart = np.abs(np.quantile(totals, quantile, axis=0) - told[end])
        assert (apart < tolerance).all()


@pytest.mark.parametrize("name", TABLES)
def test_chances_are_those_that_the_sampler_finds(name: str) -> None:
    _, totals = ours(name)

    over = (totals > CUT_OFF).mean(axis=0)
    first = (totals == totals.max(axis=1, keepdims=True)).mean(axis=0)

    compare(name, over, "over", spread=np.sqrt(over * (1 - over)))
    compare(name, first, "first", spread=np.sqrt(first * (1 - first)))


@pytest.mark.parametrize("name", TABLES)
def test_spreads_are_those_that_the_sampler_finds(name: str) -> None:
    found, _ = ours(name)
    told = MADE["tables"][name]

    logs = [(np.log(found.sds[each]) - np.log(SDS[each][0])) / SDS[each][1] for each in SDS]

    # In units of the priors: the mean of each, and how surely.
    assert [log.mean() for log in logs] == pytest.approx(told["z_mean"][:6], abs=0.05)
    assert [log.std() for log in logs] == pytest.approx(told["z_sd"][:6], abs=0.05)
    drifts = [(np.log(found.sds["drift"]) - np.log(DRIFT[0])) / DRIFT[1]]
    # A table of one day says nothing of it: then it is as it was assumed.
    expected = (told["z_mean"][7], told["z_sd"][7]) if "period" in told["table"] else (0.0, 1.0)
    assert (np.mean(drifts), np.std(drifts)) == pytest.approx(expected, abs=0.05)
