"""The engine against full Markov chain Monte Carlo of the same model (needs numpyro, which is no dependency).

Run by hand, with an interpreter that has numpyro:  PYTHONPATH=server python -m
tests.benchmarks.bench_pooling_nuts [--clubs 12]

Prints, over clubs, the ratio of RMSE, how far the means lie apart in NUTS sd, and the ratio of sd.
"""

import argparse
import time

import jax
import jax.numpy as jnp
import numpy as np
import numpyro
import numpyro.distributions as dist
from numpyro.infer import MCMC, NUTS
from tests.simulation import Club, ClubPlan, draw_plan, simulate_club

from whetpanel.core.pooling import PoolSettings

SETTINGS = PoolSettings()


def log_phi_between(a: jnp.ndarray, b: jnp.ndarray) -> jnp.ndarray:
    """log(Φ(b) − Φ(a)), worked in the left tail."""
    flip = a + b > 0
    lo, hi = jnp.where(flip, -b, a), jnp.where(flip, -a, b)
    log_hi, log_lo = jax.scipy.special.log_ndtr(hi), jax.scipy.special.log_ndtr(lo)
    return log_hi + jnp.log1p(-jnp.exp(jnp.minimum(log_lo - log_hi, -1e-10)))


def variance(name: str, df: float, scale: float) -> jnp.ndarray:
    """A scaled-inverse-χ² variance."""
    return numpyro.sample(name, dist.InverseGamma(df / 2, df * scale**2 / 2))


def model(stone, tester, steel, lower, upper, S, R, K):  # type: ignore[no-untyped-def]
    s = SETTINGS
    tau2 = variance("tau2", s.stone_spread.df, s.stone_spread.scale)
    nu2 = variance("nu2", s.steel_within_stone.df, s.steel_within_stone.scale)
    tb2 = variance("tb2", s.severity_spread.df, s.severity_spread.scale)
    om2 = variance("om2", s.precision_spread.df, s.precision_spread.scale)
    rho0 = numpyro.sample("rho0", dist.Normal(s.log_sigma_mean, s.log_sigma_mean_sd))
    mu = numpyro.sample("mu", dist.Normal(0.0, s.level_sd))
    m = mu + s.steel_sd * numpyro.sample("s", dist.Normal(jnp.zeros(K), 1.0))
    theta = jnp.sqrt(tau2) * numpyro.sample("theta", dist.Normal(jnp.zeros(S), 1.0))
    alpha = jnp.sqrt(nu2) * numpyro.sample("alpha", dist.Normal(jnp.zeros((S, K)), 1.0))
    beta = jnp.sqrt(tb2) * numpyro.sample("beta", dist.StudentT(s.severity_df, jnp.zeros(R), 1.0))
    sigma = jnp.exp(rho0 + jnp.sqrt(om2) * numpyro.sample("rho", dist.Normal(jnp.zeros(R), 1.0)))
    eta = theta[stone] + alpha[stone, steel] + m[steel] - beta[tester]
    log_p = log_phi_between((lower - eta) / sigma[tester], (upper - eta) / sigma[tester])
    shares = []
    for lapse, weight in zip(s.lapse, s.lapse_weight, strict=True):
        each = jnp.logaddexp(jnp.log1p(-lapse) + log_p, jnp.log(lapse / 9))
        shares.append(jnp.log(weight) + jnp.zeros(R).at[tester].add(each))
    numpyro.factor("grades", jax.scipy.special.logsumexp(jnp.stack(shares), axis=0).sum())
    numpyro.deterministic("G", theta + (alpha + m).mean(1))


def nuts(club: Club, seed: int) -> np.ndarray:
    """(draws, S) of the stones' grades."""
    p = club.plan
    y = club.grade - 3.0
    lower, upper = np.where(club.grade <= 1, -1e3, y - 0.25), np.where(club.grade >= 5, 1e3, y + 0.25)
    kernel = NUTS(model, target_accept_prob=0.9)
    run = MCMC(
        kernel, num_warmup=600, num_samples=1200, num_chains=2, progress_bar=False, chain_method="sequential"
    )
    run.run(
        jax.random.PRNGKey(seed), club.stone, club.tester, club.steel, lower, upper,
        p.n_stones, p.n_testers, p.n_steels,
    )  # fmt: skip
    return 3.0 + np.asarray(run.get_samples()["G"])


if __name__ == "__main__":
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--clubs", type=int, default=12)
    given = ask.parse_args()
    jax.config.update("jax_enable_x64", True)
    shapes = [
        ClubPlan(n_stones=40, trials_per_stone=(1, 2, 4, 8)),
        ClubPlan(n_stones=40, n_testers=4, trials_per_stone=(1, 2, 4)),
        ClubPlan(n_stones=40, n_careless=1, n_biased=1),
        ClubPlan(n_stones=40, mu=4.2),
    ]
    square = np.zeros(2)
    ratios, shifts = [], []
    for c in range(given.clubs):
        club = simulate_club(
            draw_plan(shapes[c % len(shapes)], np.random.default_rng([9, c, 0])),
            np.random.default_rng([9, c, 1]),
        )
        began = time.time()
        draws = nuts(club, c)
        spent = time.time() - began
        pooled = club.pool()
        mean, sd = draws.mean(0), draws.std(0)
        printed = np.clip(draws, 1, 5).mean(0)
        truth = np.clip(club.truth, 1, 5)
        square += [((pooled.grade - truth) ** 2).sum(), ((printed - truth) ** 2).sum()]
        # Compare where the grade is decided by data, not by how far beyond an end the prior lets it lie.
        inside = (mean > 1.0) & (mean < 5.0)
        ratios.append((pooled.sd / sd)[inside])
        shifts.append(((pooled.estimate - mean) / sd)[inside])
        print(
            f"club {c}: NUTS {spent:.0f} s; sd ratio median {np.median(ratios[-1]):.3f} lowest "
            f"{ratios[-1].min():.3f}; means apart at most {np.abs(shifts[-1]).max():.3f} sd",
            flush=True,
        )
    ratio, shift = np.concatenate(ratios), np.concatenate(shifts)
    print(f"RMSE ratio to NUTS {np.sqrt(square[0] / square[1]):.4f}; sd ratio median {np.median(ratio):.3f}, "
          f"lowest {ratio.min():.3f}, 1 % {np.quantile(ratio, 0.01):.3f}; means apart: rms "
          f"{np.sqrt((shift**2).mean()):.3f}, most {np.abs(shift).max():.3f} NUTS sd")  # fmt: skip
