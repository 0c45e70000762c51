"""Small clubs: widen every interval by what is unknown about the hyper-parameters themselves.

With J the derivative of a mean in the hyper-parameter vector and C the inverse Hessian of the log evidence,

    Var ← Var · E[exp(linear change of log Var)] + J' C J

(Kass & Steffey, Journal of the American Statistical Association 84:717–726, 1989, first order).
J, C and the slopes of log Var come from central differences of refits that start from the settled fit.
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


@dataclass(frozen=True)
class Widening:
    """Var ← factor · Var + added, for stones (S,), for stones and steels (S, K) and for testers (R,)."""

    factor: Floats
    added: Floats
    cell_added: Floats
    severity_added: Floats
    hyper_cov: Floats


def no_widening(S: int, K: int, R: int) -> Widening:
    """Leaves everything as it is."""
    return Widening(np.ones(S), np.zeros(S), np.zeros((S, K)), np.zeros(R), np.zeros((5, 5)))


def widen(problem: Problem, fit: Fit) -> Widening:
    """Refit at displaced hyper-parameters and collect how far means and variances follow."""
    x0 = fit.state.hyper.vector()
    gradients, grades, cells, severities, log_vars, widths = [], [], [], [], [], []
    for j in range(x0.size):
        pair = []
        for sign in (1.0, -1.0):
            x = x0.copy()
            x[j] = np.clip(x[j] + sign * STEP, *BOUNDS[j])
            pair.append(_at(problem, fit, Hyper.from_vector(x)))
        plus, minus = pair
        # At a bound one side has no room: the difference is then one-sided, so divide by the true distance.
        reach = min(x0[j] + STEP, BOUNDS[j, 1]) - max(x0[j] - STEP, BOUNDS[j, 0])
        widths.append(reach)
        gradients.append((plus[0] - minus[0]) / reach)
        grades.append((plus[1] - minus[1]) / reach)
        cells.append((plus[2] - minus[2]) / reach)
        severities.append((plus[3] - minus[3]) / reach)
        log_vars.append((plus[4] - minus[4]) / reach)
    H = np.array(gradients)
    H = -0.5 * (H + H.T)
    values, vectors = np.linalg.eigh(H)
    # A direction the evidence says nothing about has the prior's spread, about 2 in logs; no more is
    # credible.
    C = (vectors / np.maximum(values, 0.25)) @ vectors.T

    def spread(J: Floats) -> Floats:
        out: Floats = np.einsum("j...,jk,k...->...", J, C, J)
        return np.maximum(out, 0.0)

    return Widening(
        factor=np.exp(np.minimum(0.5 * spread(np.array(log_vars)), 0.5)),
        added=spread(np.array(grades)),
        cell_added=spread(np.array(cells)),
        severity_added=spread(np.array(severities)),
        hyper_cov=C,
    )


def _at(problem: Problem, fit: Fit, hyper: Hyper) -> tuple[Floats, Floats, Floats, Floats, Floats]:
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
    return gradient, g.grade, g.cell, block.mean[K:-1], np.log(g.var)
