"""What each trial did, and what each tester looks like from outside the model."""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr, ndtri

from whetpanel.core.pooling.arrays import Floats, Ints
from whetpanel.core.pooling.design import Design
from whetpanel.core.pooling.fit import Fit, Problem, cavities
from whetpanel.core.pooling.gaussian import StoneGrades
from whetpanel.core.pooling.scales import GradeScale
from whetpanel.core.pooling.sites import normaliser


@dataclass(frozen=True)
class TrialStory:
    """Per sorted trial, in units: reported grade, the one expected without it, residual,
    standardised residual, pull.
    """

    reported: Floats
    predicted: Floats
    residual: Floats
    standardised: Floats
    pull: Floats


def tell_trials(
    problem: Problem, fit: Fit, grades: StoneGrades, scale: GradeScale, offset: Floats
) -> TrialStory:
    """Residual and pull of every trial. ``offset``: (S,) prior shift of each stone in input codes, units.

    Both are leave-one-out, by taking the trial's own site away:
    residual      reported grade minus the tester's expected one
    standardised  normal score of the middle of the grade's probability interval, so that grades at an open
    end and
                  coarse steps read rightly; slips of the finger are not forgiven here
    pull          Cov(grade of the stone, eta)/Var(eta) · (E eta with the trial − E eta without it)
    """
    d = problem.design
    reported = scale.to_units(scale.at(d.category))
    own = offset[d.stone_of][d.stone]
    low, high = scale.to_units(np.array([scale.low, scale.high])).tolist()
    post = fit.posterior
    m, v = cavities(post.eta, post.var, fit.state.sites)
    lik, grid = problem.likelihood, fit.grid
    base = problem.settings.lapse[0]
    below, within = np.zeros(m.size), np.zeros(m.size)
    spread = np.zeros(m.size)
    bottom = np.full(m.size, -1e3)
    for j in range(grid.lapse.size):
        q = grid.q[:, j]
        if not q.any():
            continue
        weight = q[lik.tester]
        s2 = grid.sigma2[:, j][lik.tester]
        random = (grid.lapse[j] - base) / (1.0 - base)
        P, _, _ = normaliser(m, v, lik.lower, lik.upper, s2)
        under, _, _ = normaliser(m, v, bottom, lik.lower, s2)
        position = problem.design.category
        below += weight * ((1 - random) * under + random * position / lik.n_categories)
        within += weight * ((1 - random) * P + random / lik.n_categories)
        spread += weight * s2
    middle = np.clip(below + 0.5 * within, 1e-12, 1.0 - 1e-12)
    expected = clipped_mean(m + own, np.sqrt(v + spread), low, high)
    pull = grades.covariance_with_eta / post.var * (post.eta - m)
    return TrialStory(reported, expected, reported - expected, ndtri(middle), pull)


def clipped_mean(mean: Floats, sd: Floats, low: float, high: float) -> Floats:
    """E[min(max(x, low), high)] for x ~ N(mean, sd²)."""
    a, b = (low - mean) / sd, (high - mean) / sd
    pa = 0.3989422804014327 * np.exp(-0.5 * a * a)
    pb = 0.3989422804014327 * np.exp(-0.5 * b * b)
    out: Floats = low * ndtr(a) + high * ndtr(-b) + mean * (ndtr(b) - ndtr(a)) + sd * (pa - pb)
    return np.clip(out, low, high)


@dataclass(frozen=True)
class TesterLook:
    """Per tester: spread of own grades, spread of what the panel expected of the same trials,
    and their correlation.
    """

    own_spread: Floats
    panel_spread: Floats
    correlation: Floats
    n: Ints


def look_at_testers(design: Design, reported: Floats, predicted: Floats) -> TesterLook:
    """Sample moments per tester; correlation is 0 where a spread is nothing."""
    R = design.n_testers
    n = np.bincount(design.tester, minlength=R)
    safe = np.maximum(n, 1)

    def mean(x: Floats) -> Floats:
        out: Floats = np.bincount(design.tester, x, R) / safe
        return out

    y = reported - mean(reported)[design.tester]
    p = predicted - mean(predicted)[design.tester]
    syy, spp, syp = mean(y * y), mean(p * p), mean(y * p)
    scale = np.sqrt(syy * spp)
    correlation = np.where(scale > 1e-9, syp / np.maximum(scale, 1e-9), 0.0)
    return TesterLook(np.sqrt(syy), np.sqrt(spp), correlation, n)
