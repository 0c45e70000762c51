"""The elimination of stones agrees with a dense inverse of the whole system."""

import csv
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from whetpanel.core.pooling import PoolSettings, ScalePrior
from whetpanel.core.pooling.design import build_design, part_of
from whetpanel.core.pooling.gaussian import (
    Anchors,
    Sites,
    grade_stones,
    prior_precision,
    solve,
    solve_given_block,
)
from whetpanel.core.pooling.model import Hyper
from whetpanel.core.pooling.variances import fixed_point

DATA = Path(__file__).parents[2] / "data"
SETTINGS = PoolSettings()
HYPER = Hyper(0.7, 0.05, 0.12, -1.0, 0.2)


def random_problem(rng, S=9, R=5, K=3, n=60):
    """A design with an untested stone, random sites, two check stones, and unequal reference weights."""
    stone, tester, steel = rng.integers(0, S - 1, n), rng.integers(0, R, n), rng.integers(0, K, n)
    design = build_design(stone, tester, steel, rng.integers(0, 9, n), n_stones=S, n_testers=R, n_steels=K)
    sites = Sites(rng.gamma(2.0, 2.0, n), rng.standard_normal(n))
    precision = np.zeros(S)
    precision[[1, 4]] = [4.0, 25.0]
    anchors = Anchors(precision, rng.standard_normal(S), np.array([0.5, 0.5, 0.0]))
    return design, sites, anchors, rng.uniform(0.3, 1.2, R)


def dense(design, sites, anchors, tail):
    """Mean and covariance of (theta, alpha, m, beta) by inverting the whole precision,
    and the rows of each eta and G.
    """
    S, R, K = design.n_stones, design.n_testers, design.n_steels
    size = S + S * K + K + R
    P = np.zeros((size, size))
    P[range(S), range(S)] = 1.0 / HYPER.tau2
    cells = range(S, S + S * K)
    P[cells, cells] = 1.0 / HYPER.nu2
    P[S + S * K :, S + S * K :] = prior_precision(K, R, HYPER, SETTINGS, tail)
    Z = np.zeros((design.n_trials, size))
    rows = np.arange(design.n_trials)
    Z[rows, design.stone] = 1.0
    Z[rows, S + design.stone * K + design.steel] = 1.0
    Z[rows, S + S * K + design.steel] = 1.0
    Z[rows, S + S * K + K + design.tester] = -1.0
    G = np.zeros((S, size))
    for i in range(S):
        G[i, i] = 1.0
        G[i, S + i * K : S + (i + 1) * K] = anchors.reference
        G[i, S + S * K : S + S * K + K] = anchors.reference
    P += Z.T @ (sites.w[:, None] * Z) + G.T @ (anchors.precision[:, None] * G)
    right = Z.T @ sites.n + G.T @ (anchors.precision * anchors.value)
    cov = np.linalg.inv(P)
    return cov @ right, cov, Z, G


@pytest.mark.parametrize("seed", range(4))
def test_means_variances_and_covariances_agree_with_the_dense_inverse(seed):
    """Truth from algebra: one precision matrix, inverted whole."""
    design, sites, anchors, tail = random_problem(np.random.default_rng(seed))

    post = solve(design, sites, HYPER, anchors, SETTINGS, tail)
    grades = grade_stones(design, sites, HYPER, anchors, post.block)
    mean, cov, Z, G = dense(design, sites, anchors, tail)

    S, K, R = design.n_stones, design.n_steels, design.n_testers
    p = slice(S + S * K, None)
    tight = {"rtol": 0, "atol": 1e-12}
    assert np.allclose(mean[p], post.block.mean[:-1], **tight)
    assert np.allclose(cov[p, p], post.block.cov[:-1, :-1], **tight)
    assert np.allclose(Z @ mean, post.eta, **tight)
    assert np.allclose(np.einsum("ta,ab,tb->t", Z, cov, Z), post.var, **tight)
    assert np.allclose(G @ mean, grades.grade, **tight)
    assert np.allclose(np.einsum("ia,ab,ib->i", G, cov, G), grades.var, **tight)
    assert np.allclose(np.einsum("ta,ab,tb->t", G[design.stone], cov, Z), grades.covariance_with_eta, **tight)
    theta, alpha = mean[:S], mean[S : S + S * K]
    assert np.isclose((theta**2).sum(), post.moments.theta_sq, rtol=1e-10)
    assert np.isclose((alpha**2).sum(), post.moments.alpha_sq, rtol=1e-10)
    assert np.isclose(np.trace(cov[:S, :S]), post.moments.theta_var, rtol=1e-10)
    assert np.isclose(np.trace(cov[S : S + S * K, S : S + S * K]), post.moments.alpha_var, rtol=1e-10)
    assert R == post.block.mean.size - 1 - K


def test_one_step_with_the_block_held_gives_the_same_trials():
    """The inner passes on a few stones use the same formulas as the whole."""
    design, sites, anchors, tail = random_problem(np.random.default_rng(7))
    post = solve(design, sites, HYPER, anchors, SETTINGS, tail)
    some = np.array([0, 3, 5])

    part, rows = part_of(design, some)
    own = replace(anchors, precision=anchors.precision[some], value=anchors.value[some])
    eta, var = solve_given_block(part, Sites(sites.w[rows], sites.n[rows]), HYPER, own, post.block)

    assert np.allclose(post.eta[rows], eta, rtol=0, atol=1e-12)
    assert np.allclose(post.var[rows], var, rtol=0, atol=1e-12)


def eight_groups():
    """Rubin, Journal of Educational Statistics 6:377–401, 1981: eight coaching studies."""
    with (DATA / "eight_groups_pooling.csv").open() as f:
        rows = list(csv.DictReader(f))
    return np.array([float(r["estimate"]) for r in rows]), np.array(
        [float(r["standard_error"]) for r in rows]
    )


def test_pooling_by_precision_gives_the_printed_mean_and_error_of_eight_groups():
    """Printed: 7.7 with standard error 4.1 (Gelman and others, Bayesian Data Analysis; from memory),
    recomputed 7.685617 and 4.071919. One stone, eight testers without a lean of their own, nothing known
    beforehand."""
    y, se = eight_groups()
    n = y.size
    every = np.arange(n)
    design = build_design(
        np.zeros(n, int), every, np.zeros(n, int), every, n_stones=1, n_testers=n, n_steels=1
    )
    nothing = Anchors(np.zeros(1), np.zeros(1), np.ones(1))
    # The prior of the level is taken away with the lean: only the stone itself, of unbounded spread, remains.
    hyper = Hyper(1e9, 1e-9, 1e-9, 0.0, 1.0)
    settings = PoolSettings(level_sd=1e-5, steel_sd=1e-5)

    post = solve(design, Sites(1 / se**2, y / se**2), hyper, nothing, settings, np.ones(n))
    grades = grade_stones(design, Sites(1 / se**2, y / se**2), hyper, nothing, post.block)

    assert 7.685617 == pytest.approx(grades.grade[0], abs=1e-5)
    assert 4.071919 == pytest.approx(np.sqrt(grades.var[0]), abs=1e-5)


def test_the_spread_between_eight_groups_comes_out_as_nothing():
    """Q = 4.70708 on 7 degrees of freedom lies below its expectation,
    so the spread between groups falls to zero.
    """
    y, se = eight_groups()
    n = y.size
    every = np.arange(n)
    design = build_design(
        every, np.zeros(n, int), np.zeros(n, int), every, n_stones=n, n_testers=1, n_steels=1
    )
    nothing = Anchors(np.zeros(n), np.zeros(n), np.ones(1))
    sites = Sites(1 / se**2, y / se**2)
    settings = PoolSettings(level_sd=1e4, steel_sd=1e-3)
    tau2 = 100.0
    for _ in range(4000):
        hyper = Hyper(tau2, 1e-9, 1e-9, 0.0, 1.0)
        moments = solve(design, sites, hyper, nothing, settings, np.ones(1)).moments
        tau2 = fixed_point(tau2, moments.theta_sq, moments.theta_var, n, ScalePrior(0.0, 1.0))
        if tau2 < 0.02 * np.min(se) ** 2:
            break

    assert tau2 < 0.02 * np.min(se) ** 2


def test_the_variance_about_the_mean_stone_leaves_the_shared_level_out():
    """Var(G_i − mean of tested G) from the dense covariance."""
    design, sites, anchors, tail = random_problem(np.random.default_rng(11))
    post = solve(design, sites, HYPER, anchors, SETTINGS, tail)
    grades = grade_stones(design, sites, HYPER, anchors, post.block)
    _, cov, _, G = dense(design, sites, anchors, tail)

    tested = design.trials_of_stone > 0
    rows = G - G[tested].mean(0)

    assert np.allclose(np.einsum("ia,ab,ib->i", rows, cov, rows), grades.relative_var, rtol=0, atol=1e-12)
