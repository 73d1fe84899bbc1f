"""Long runs of a general sampler on the posterior of five tables; run by hand.

    python tests/oracles/posterior_mcmc.py > tests/oracles/posterior_mcmc.json

The model is written out here once more, as one large Gaussian given its standard deviations, and
shares nothing with the code that it is to check. NUTS draws the standard deviations; the coffees
follow from each draw by the conditional mean and variance of the joint Gaussian. It needs numpy,
jax and numpyro, which no test does.
"""

import json
import sys
from typing import Any

import numpy as np

SDS = {
    "item": (1.3, 0.5),
    "rater": (1.1, 0.4),
    "look": (0.95, 0.35),
    "session": (0.4, 0.5),
    "batch": (0.5, 0.5),
    "unit": (0.4, 0.5),
}
# Of a table whose tasters drift; its z comes last, after that of the share.
DRIFT = (0.2, 0.5)
MEAN = (83.0, 3.0)
CUT_OFF = 84.0
CHAINS, WARM_UP, DRAWS = 4, 800, 3_000


def tables() -> dict[str, dict[str, Any]]:
    """Make the five tables' marks, from a seed; none is about any coffee."""
    chance = np.random.default_rng(20310304)
    a = [(lot, 0, who, 0, 5) for lot in range(6) for who in range(3)]
    b = [(lot, 0, who, 0, 5) for lot in range(4) for who in range(2) for _ in range(2)]
    b += [(0, 0, who, 0, 5) for who in range(2)]
    c = [(lot, 0, who, 0, 5) for lot in range(10) for who in range(6)]
    c = [c[nth] for nth in sorted(chance.permutation(60)[:48])]
    # Today: one taster, five coffees, three bowls; lot 0 is a control, roasted anew each time.
    d = [(lot, 0, 0, 0, 3) for lot in range(5)]
    for table in range(1, 5):
        lots = [0, *range(5 + 5 * (table - 1), 5 + 5 * table)]
        d += [(lot, table if lot == 0 else 0, who, table, 5) for lot in lots for who in range(3)]
    streams = {"C": [0] * 7 + [1] * 3}
    today = {"A": (6, 3), "B": (4, 2), "C": (10, 6), "D": (5, 1)}
    made = {
        name: _marked(chance, rows, streams.get(name), *today[name])
        for name, rows in (("A", a), ("B", b), ("C", c), ("D", d))
    }
    return {**made, "E": _drifting(chance)}


def _drifting(chance: np.random.Generator) -> dict[str, Any]:
    """Make a table after six others, up to four periods ago; lot 0 stood at all, of one roast."""
    rows = [(lot, 0, who, 0, 5) for lot in range(4) for who in range(2)]
    for table in range(1, 7):
        lots = [0, *range(4 + 3 * (table - 1), 4 + 3 * table)]
        rows += [(lot, 0, who, table, 5) for lot in lots for who in range(3)]
    period = np.array([0, 0, 1, 1, 2, 4, 4])[[row[3] for row in rows]]
    steps = 0.6 * chance.standard_normal((3, 5))
    drifted = np.cumsum(steps, axis=1)[[row[2] for row in rows], period]
    made = _marked(chance, rows, None, 4, 2)
    values = np.array(made["values"]) + drifted
    return {**made, "values": (np.round(4 * values) / 4).tolist(), "period": period.tolist()}


def _marked(
    chance: np.random.Generator,
    rows: list[tuple[int, ...]],
    streams: list[int] | None,
    coffees: int,
    tasters: int,
) -> dict[str, Any]:
    item, batch, rater, session, cups = (np.array(column) for column in zip(*rows, strict=True))
    items = int(item.max()) + 1
    stream = np.array(streams or [0] * items)
    marks = 83.5 + 1.5 * stream[item] + 1.6 * chance.standard_normal(items)[item]
    marks = marks + 1.2 * chance.standard_normal(rater.max() + 1)[rater]
    marks = marks + 0.5 * chance.standard_normal(session.max() + 1)[session]
    marks = marks + 0.7 * chance.standard_normal((items, rater.max() + 1))[item, rater]
    marks = marks + 0.7 * chance.standard_normal(len(rows))
    columns = {"item": item, "batch": batch, "rater": rater, "session": session, "cups": cups}
    return {
        "values": (np.round(4 * marks) / 4).tolist(),
        **{name: column.tolist() for name, column in columns.items()},
        "stream": stream.tolist(),
        "coffees": coffees,
        "tasters": tasters,
    }


def covariance(np_: Any, table: dict[str, Any], z: Any) -> tuple[Any, Any, Any]:
    """Give, at standard normal z, the covariance of the marks, of what is asked, and of both."""
    sd = {name: SDS[name][0] * np_.exp(SDS[name][1] * z[nth]) for nth, name in enumerate(SDS)}
    share = 1 / (1 + np_.exp(-z[6]))
    column = {name: np.array(table[name]) for name in ("item", "batch", "rater", "session")}
    same = {name: np.equal.outer(each, each) for name, each in column.items()}
    stream, cups = np.array(table["stream"]), np.array(table["cups"])
    of_row = stream[column["item"]]
    marks = (
        MEAN[1] ** 2 * np.equal.outer(of_row, of_row)
        + sd["item"] ** 2 * same["item"]
        + sd["batch"] ** 2 * (same["item"] & same["batch"])
        + sd["rater"] ** 2 * same["rater"]
        + sd["session"] ** 2 * same["session"]
        + share * sd["look"] ** 2 * (same["item"] & same["rater"])
        + np_.diag((1 - share) * sd["look"] ** 2 + sd["unit"] ** 2 / cups)
    )
    if "period" in table:
        # A random walk back from the present: two periods share the steps to the nearer one.
        period = np.array(table["period"])
        drift = DRIFT[0] * np_.exp(DRIFT[1] * z[7])
        marks = marks + drift**2 * np.minimum.outer(period, period) * same["rater"]
    asked = np.arange(table["coffees"])
    mine = (column["rater"][None, :] < table["tasters"]) / table["tasters"]
    both = (
        MEAN[1] ** 2 * np.equal.outer(stream[asked], of_row)
        + sd["item"] ** 2 * np.equal.outer(asked, column["item"])
        + sd["rater"] ** 2 * np.broadcast_to(mine, (len(asked), len(of_row)))
    )
    alone = (
        MEAN[1] ** 2 * np.equal.outer(stream[asked], stream[asked])
        + sd["item"] ** 2 * np.eye(len(asked))
        + sd["rater"] ** 2 / table["tasters"]
    )
    return marks, both, alone


def run(table: dict[str, Any], seed: int) -> dict[str, Any]:
    """Sample one table's posterior; give figures and their Monte Carlo errors."""
    import jax
    import jax.numpy as jnp
    import numpyro
    import numpyro.distributions as dist
    from numpyro.diagnostics import effective_sample_size, gelman_rubin
    from numpyro.infer import MCMC, NUTS

    values = np.array(table["values"])
    spreads = 8 if "period" in table else 7

    def model() -> None:
        z = numpyro.sample("z", dist.Normal(jnp.zeros(spreads), 1.0))
        marks, _, _ = covariance(jnp, table, z)
        numpyro.sample("y", dist.MultivariateNormal(MEAN[0], marks), obs=values)

    sampler = MCMC(
        NUTS(model, target_accept_prob=0.9),
        num_warmup=WARM_UP,
        num_samples=DRAWS,
        num_chains=CHAINS,
        chain_method="sequential",
        progress_bar=False,
    )
    sampler.run(jax.random.PRNGKey(seed))
    z = np.asarray(sampler.get_samples(group_by_chain=True)["z"])

    def conditional(point: Any) -> tuple[Any, Any]:
        marks, both, alone = covariance(jnp, table, point)
        gain = jnp.linalg.solve(marks, both.T).T
        return MEAN[0] + gain @ (values - MEAN[0]), jnp.linalg.cholesky(alone - gain @ both.T)

    flat = z.reshape(-1, spreads)
    pairs = jax.jit(lambda points: jax.lax.map(conditional, points, batch_size=500))(flat)
    means, roots = (np.asarray(each) for each in pairs)
    noise = np.random.default_rng(seed).standard_normal(means.shape)
    drawn = means + np.einsum("kij,kj->ki", roots, noise)
    chained = drawn.reshape(CHAINS, DRAWS, -1)
    told = {
        "mean": drawn,
        "second": (drawn - drawn.mean(axis=0)) ** 2,
        "over": drawn > CUT_OFF,
        "first": drawn == drawn.max(axis=1, keepdims=True),
    }
    errors = {}
    for name, each in told.items():
        by_chain = np.asarray(each, dtype=float).reshape(CHAINS, DRAWS, -1)
        size = effective_sample_size(by_chain)
        errors[name] = each.std(axis=0) / np.sqrt(np.maximum(size, 1))
    low, high = np.quantile(drawn, [0.05, 0.95], axis=0)
    return {
        "table": table,
        "mean": drawn.mean(axis=0),
        "sd": drawn.std(axis=0),
        "low": low,
        "high": high,
        "over": told["over"].mean(axis=0),
        "first": told["first"].mean(axis=0),
        "z_mean": flat.mean(axis=0),
        "z_sd": flat.std(axis=0),
        "z_error": flat.std(axis=0) / np.sqrt(effective_sample_size(z)),
        "errors": {
            "mean": errors["mean"],
            "sd": errors["second"] / (2 * drawn.std(axis=0)),
            "over": errors["over"],
            "first": errors["first"],
        },
        "rhat": float(max(gelman_rubin(z).max(), gelman_rubin(chained).max())),
        "effective": float(
            min(effective_sample_size(z).min(), effective_sample_size(chained).min())
        ),
    }


def main() -> None:
    import jax
    import numpyro

    jax.config.update("jax_enable_x64", True)
    found = {name: run(table, seed) for seed, (name, table) in enumerate(tables().items())}
    versions = {
        "python": sys.version.split()[0],
        "numpy": np.__version__,
        "jax": jax.__version__,
        "numpyro": numpyro.__version__,
    }
    made = {"versions": versions, "cut_off": CUT_OFF, "chains": CHAINS, "draws": DRAWS}
    plain = json.dumps({**made, "tables": found}, default=lambda each: np.round(each, 5).tolist())
    sys.stdout.write(plain + "\n")


if __name__ == "__main__":
    main()
