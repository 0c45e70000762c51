"""Small clubs: widen every interval by what is unknown about the hyper-parameters themselves.

With J the derivative of a mean and l that of a log variance in the hyper-parameter vector, C the inverse Hessian of
the log evidence and d the distance from the mode to the mean of the hyper-parameters,

    Var ← Var · exp(l'd + ½ l'C l) + J'C J

(Kass & Steffey, Journal of the American Statistical Association 84:717–726, 1989, with their second-order term).
The log of a variance known from few effects leans to the right: for a scaled inverse χ² its mean lies about half its
own variance above its mode, so d = ½ diag C for the four variances and 0 for the mean log sigma.
J, l and C come from central differences of refits that start from the settled fit.
"""

from dataclasses import dataclass

import numpy as np

from whetpanel.core.pooling.arrays import Floats
from whetpanel.core.pooling.fit import Fit, Problem, State, run
from whetpanel.core.pooling.gaussian import grade_stones
from whetpanel.core.pooling.model import BOUNDS, Hyper
from whetpanel.core.pooling.variances import evidence_gradient

STEP = 0.15
"""Half width of the central differences, in logs: large against the fit's tolerance,
small against the posterior.
"""


LEANS = np.array([1.0, 1.0, 1.0, 0.0, 1.0])
"""Which hyper-parameters are logs of variances, in the order of the hyper-parameter vector."""


@dataclass(frozen=True)
class Widening:
    """Var ← factor · Var + added, for stones (S,), for stones and steels (S, K) and for testers (R,).

    A stone's factor serves its steels too.
    """

    factor: Floats
    added: Floats
    relative_added: Floats
    """For the variance about the tested stones' mean grade."""
    cell_added: Floats
    severity_factor: Floats
    severity_added: Floats
    hyper_cov: Floats


def no_widening(S: int, K: int, R: int) -> Widening:
    """Leaves everything as it is."""
    return Widening(
        np.ones(S), np.zeros(S), np.zeros(S), np.zeros((S, K)), np.ones(R), np.zeros(R), np.zeros((5, 5))
    )


def widen(problem: Problem, fit: Fit) -> Widening:
    """Refit at displaced hyper-parameters and collect how far means and variances follow."""
    x0 = fit.state.hyper.vector()
    slopes: list[list[Floats]] = [[] for _ in range(6)]
    for j in range(x0.size):
        pair = []
        for sign in (1.0, -1.0):
            x = x0.copy()
            x[j] = np.clip(x[j] + sign * STEP, *BOUNDS[j])
            pair.append(_at(problem, fit, Hyper.from_vector(x)))
        plus, minus = pair
        # At a bound one side has no room: the difference is then one-sided, so divide by the true distance.
        reach = min(x0[j] + STEP, BOUNDS[j, 1]) - max(x0[j] - STEP, BOUNDS[j, 0])
        for into, up, down in zip(slopes, plus, minus, strict=True):
            into.append((up - down) / reach)
    gradients, grades, cells, severities, log_vars, log_severity_vars = (np.array(v) for v in slopes)
    H = -0.5 * (gradients + gradients.T)
    values, vectors = np.linalg.eigh(H)
    # A direction the evidence says nothing about has the prior's spread, about 2 in logs; no more is
    # credible.
    C = (vectors / np.maximum(values, 0.25)) @ vectors.T

    def spread(J: Floats) -> Floats:
        out: Floats = np.einsum("j...,jk,k...->...", J, C, J)
        return np.maximum(out, 0.0)

    lean = 0.5 * np.diag(C) * LEANS
    tested = problem.design.trials_of_stone > 0

    def factor(slope: Floats) -> Floats:
        # Twice the variance is as far as a second-order expansion can be trusted.
        out: Floats = np.exp(np.clip(lean @ slope + 0.5 * spread(slope), 0.0, np.log(2.0)))
        return out

    return Widening(
        factor=factor(log_vars),
        added=spread(grades),
        relative_added=spread(grades - grades[:, tested].mean(1, keepdims=True)),
        cell_added=spread(cells),
        severity_factor=factor(log_severity_vars),
        severity_added=spread(severities),
        hyper_cov=C,
    )


def _at(problem: Problem, fit: Fit, hyper: Hyper) -> tuple[Floats, ...]:
    moved = run(
        problem,
        State(fit.state.sites, fit.state.testers, hyper, fit.state.tail),
        fix_hyper=True,
        max_rounds=30,
    )
    block = moved.posterior.block
    g = grade_stones(problem.design, moved.state.sites, hyper, problem.anchors, block)
    gradient = evidence_gradient(
        moved.posterior,
        moved.state.testers,
        hyper,
        problem.settings,
        problem.design.n_stones,
        moved.state.tail,
    )
    K = problem.design.n_steels
    severity_var = np.maximum(block.cov.diagonal()[K:-1], 1e-12)
    return gradient, g.grade, g.cell, block.mean[K:-1], np.log(g.var), np.log(severity_var)
