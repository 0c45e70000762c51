"""One trial's site: the integrals it comes from, and what the testers' precision adds."""

import numpy as np
import pytest
from scipy import integrate
from scipy.stats import norm

from whetpanel.core.pooling import PoolSettings
from whetpanel.core.pooling.explain import clipped_mean
from whetpanel.core.pooling.model import Hyper
from whetpanel.core.pooling.sites import (
    Likelihood,
    Precisions,
    make_grid,
    node_scores,
    normaliser,
    site_targets,
    update_testers,
)


@pytest.mark.parametrize(
    ("m", "v", "lower", "upper", "s2"),
    [
        (0.2, 0.3, -0.25, 0.25, 0.16),
        (1.8, 0.1, 1.75, 1e3, 0.09),
        (-3.0, 0.5, 0.25, 0.75, 0.2),
        (0.0, 0.01, -1e3, -1.75, 1.0),
    ],
)
def test_the_normaliser_is_the_integral_and_its_derivatives(m, v, lower, upper, s2):
    """Truth from numerical integration (scipy) and central differences."""

    def by_hand(at: float) -> float:
        def f(eta: float) -> float:
            s = np.sqrt(s2)
            return norm.pdf(eta, at, np.sqrt(v)) * (norm.cdf((upper - eta) / s) - norm.cdf((lower - eta) / s))

        return integrate.quad(f, at - 12 * np.sqrt(v), at + 12 * np.sqrt(v), epsabs=1e-14, limit=200)[0]

    P, P1, P2 = normaliser(*(np.array([x]) for x in (m, v, lower, upper, s2)))

    h = 1e-3
    assert by_hand(m) == pytest.approx(P[0], rel=1e-9, abs=1e-13)
    assert (by_hand(m + h) - by_hand(m - h)) / (2 * h) == pytest.approx(P1[0], rel=1e-4, abs=1e-9)
    assert (by_hand(m + h) - 2 * by_hand(m) + by_hand(m - h)) / h**2 == pytest.approx(
        P2[0], rel=1e-3, abs=1e-7
    )


def test_the_normaliser_does_not_cancel_far_out():
    """Both cuts 30 sd up the tail: a tiny number, neither zero nor negative."""
    P, P1, _ = normaliser(
        np.array([0.0]), np.array([0.5]), np.array([21.0]), np.array([21.5]), np.array([0.5])
    )

    assert P[0] == pytest.approx(norm.sf(21.0) - norm.sf(21.5), rel=1e-9)
    assert P1[0] > 0


def test_a_site_matches_the_moments_of_cavity_times_likelihood():
    """Truth from a fine grid over eta, the tester's precision and share summed out node by node."""
    settings = PoolSettings()
    hyper = Hyper.at_prior(settings)
    lik = Likelihood(np.array([0.25, 1.75]), np.array([0.75, 1e3]), np.array([0, 1]), 9)
    m, v = np.array([0.1, 1.2]), np.array([0.2, 0.4])
    testers = Precisions.at_prior(2, hyper, settings)
    nobody_busy = np.zeros(2, dtype=np.bool_)
    grid = make_grid(testers, hyper, settings, 9, nobody_busy)
    scores = node_scores(grid, lik, m, v)
    grid, _ = update_testers(grid, scores, lik, testers, hyper, nobody_busy)

    w, n = site_targets(grid, scores, lik, m, v)

    eta = np.linspace(-6, 8, 20001)
    for t in range(2):
        prior = np.exp(grid.log_prior[t] - grid.log_prior[t].max())
        like = np.zeros_like(eta)
        for j in range(grid.lapse.size):
            s = np.sqrt(grid.sigma2[t, j])
            P = norm.cdf((lik.upper[t] - eta) / s) - norm.cdf((lik.lower[t] - eta) / s)
            like += prior[j] * ((1 - grid.lapse[j]) * P + grid.lapse[j] / 9)
        p = norm.pdf(eta, m[t], np.sqrt(v[t])) * like
        p /= p.sum()
        mean = (p * eta).sum()
        var = (p * eta**2).sum() - mean**2
        precision = 1 / v[t] + w[t]
        assert var == pytest.approx(1 / precision, rel=1e-6)
        assert mean == pytest.approx((m[t] / v[t] + n[t]) / precision, rel=1e-6)


def test_a_busy_testers_newton_steps_find_the_same_precision_as_the_grid():
    """The shortcut for testers with many trials: its fixed point is the mode of what the grid integrates."""
    settings = PoolSettings(lapse=(0.01,), lapse_weight=(1.0,))
    hyper = Hyper.at_prior(settings)
    rng = np.random.default_rng(5)
    n = 600
    m, v = rng.standard_normal(n) * 0.7, np.full(n, 0.05)
    y = np.clip(
        np.round(2 * (m + np.sqrt(v) * rng.standard_normal(n) + 0.55 * rng.standard_normal(n))) / 2, -2, 2
    )
    lower, upper = np.where(y <= -2, -1e3, y - 0.25), np.where(y >= 2, 1e3, y + 0.25)
    lik = Likelihood(lower, upper, np.zeros(n, dtype=np.int64), 9)

    found = []
    for busy in (np.array([False]), np.array([True])):
        testers = Precisions.at_prior(1, hyper, settings)
        for _ in range(30):
            grid = make_grid(testers, hyper, settings, 9, busy)
            _, testers = update_testers(grid, node_scores(grid, lik, m, v), lik, testers, hyper, busy)
        found.append((float(testers.mean[0, 0]), float(np.sqrt(testers.var[0, 0]))))

    (grid_mean, grid_sd), (newton_mean, newton_sd) = found
    assert grid_mean == pytest.approx(newton_mean, abs=0.2 * grid_sd)
    assert grid_sd == pytest.approx(newton_sd, rel=0.25)
    assert np.log(0.55) == pytest.approx(grid_mean, abs=3 * grid_sd)


def test_the_mean_held_inside_the_ends():
    """E[min(max(x, low), high)] against a fine grid."""
    x = np.linspace(-8, 12, 200001)
    for mean, sd in ((4.9, 0.4), (1.0, 1.0), (3.0, 0.2), (7.0, 0.5)):
        p = norm.pdf(x, mean, sd)
        truth = float((p * np.clip(x, 1, 5)).sum() / p.sum())
        assert truth == pytest.approx(float(clipped_mean(np.array(mean), np.array(sd), 1.0, 5.0)), abs=1e-6)
