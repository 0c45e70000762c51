"""Expectation-propagation sites and each tester's precision.

A trial's site comes from its cavity N(m, v) and the likelihood of its grade, averaged over the posterior of
the tester's log sigma (and share of random grades). That average leaves the trial itself out exactly: with q
the tester's posterior over grid nodes j and Z_j the trial's normaliser there, the leave-one-out weights are
∝ q_j/Z_j, so

    Σ_j (q_j/Z_j) Z'_j / Σ_j (q_j/Z_j) Z_j = Σ_j q_j Z'_j/Z_j,

and the plain posterior average of the score is already the leave-one-out answer.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from scipy.special import ndtr

from whetpanel.core.pooling.arrays import Bools, Floats, Ints
from whetpanel.core.pooling.model import Hyper, PoolSettings

_ROOT_2PI_INV = 0.3989422804014327
_CHUNK = 16384
OPEN_CUT = 100.0
"""Cuts beyond this many units are open ends."""
MANY_TRIALS = 5000
"""From here on three quadrature nodes serve: testers then have many trials and a nearly normal log sigma."""
BUSY = 200
"""Trials from which a tester's log sigma has an sd below about 0.07; its spread moves no site by 1 %."""


Scores = list[tuple[int, slice | Ints, Floats, Floats, Floats]]
"""Per live node: its number, its trials, and log Z, Z'/Z, Z''/Z of those trials."""


@cache
def hermite(n: int) -> tuple[Floats, Floats]:
    """Gauss–Hermite nodes and weights for a standard normal."""
    x, w = np.polynomial.hermite_e.hermegauss(n)
    return x, w / w.sum()


def normaliser(
    m: Floats, v: Floats, lower: Floats, upper: Floats, s2: Floats
) -> tuple[Floats, Floats, Floats]:
    """P = ∫ N(eta; m, v) [Φ((u − eta)/s) − Φ((l − eta)/s)] d eta, and its first two derivatives in m."""
    inv = 1.0 / np.sqrt(v + s2)
    a = (lower - m) * inv
    b = (upper - m) * inv
    # Both ends in the right tail would cancel to nothing: reflect them into the left tail.
    flip = a + b > 0
    P = ndtr(np.where(flip, -a, b)) - ndtr(np.where(flip, -b, a))
    pa = _ROOT_2PI_INV * np.exp(-0.5 * a * a)
    pb = _ROOT_2PI_INV * np.exp(-0.5 * b * b)
    return P, (pa - pb) * inv, (a * pa - b * pb) * (inv * inv)


@dataclass(frozen=True)
class Precisions:
    """Posterior of each tester's precision: one normal on log sigma per share of random grades.

    mean, var, weight: (R, J). ``active`` marks the shares still worth following.
    """

    mean: Floats
    var: Floats
    weight: Floats
    active: Bools

    @classmethod
    def at_prior(cls, R: int, hyper: Hyper, settings: PoolSettings) -> "Precisions":
        """Before any trial."""
        J = len(settings.lapse)
        return cls(
            np.full((R, J), hyper.rho0),
            np.full((R, J), hyper.om2),
            np.tile(np.array(settings.lapse_weight), (R, 1)),
            np.ones((R, J), dtype=np.bool_),
        )

    def log_sigma(self) -> tuple[Floats, Floats]:
        """Mean and variance over the shares, (R,) each."""
        mean = (self.weight * self.mean).sum(1)
        return mean, (self.weight * (self.var + (self.mean - mean[:, None]) ** 2)).sum(1)


@dataclass(frozen=True)
class Grid:
    """Quadrature nodes of every tester. node (R, N) log sigma; lapse (N,); q (R,
    N) posterior weight of each node.
    """

    node: Floats
    sigma2: Floats
    lapse: Floats
    share: Ints
    """(N,): which share of random grades the node belongs to."""
    log_prior: Floats
    """(R, N): log of prior density over proposal density, times quadrature weight; −inf where inactive."""
    q: Floats


@dataclass(frozen=True)
class Likelihood:
    """The graded evidence itself: cuts per trial (units from the middle), who graded,
    number of categories.
    """

    lower: Floats
    upper: Floats
    tester: Ints
    n_categories: int

    def part(self, rows: Ints) -> "Likelihood":
        """Some of the trials."""
        return replace(self, lower=self.lower[rows], upper=self.upper[rows], tester=self.tester[rows])


def make_grid(testers: Precisions, hyper: Hyper, settings: PoolSettings, n_nodes: int, busy: Bools) -> Grid:
    """Nodes where each tester's posterior lies; q is filled in by update_testers.

    ``busy`` testers, whose many trials leave log sigma hardly in doubt, get the middle node alone.
    """
    x, wq = hermite(n_nodes)
    R, J = testers.mean.shape
    sd = np.sqrt(testers.var)
    node = (testers.mean[:, :, None] + sd[:, :, None] * x).reshape(R, J * n_nodes)
    share = np.repeat(np.arange(J), n_nodes)
    log_prior = (
        -0.5 * (node - hyper.rho0) ** 2 / hyper.om2
        + np.tile(np.log(wq) + 0.5 * x * x, J)
        + np.repeat(np.log(sd / np.sqrt(hyper.om2)), n_nodes, axis=1)
        + np.log(np.array(settings.lapse_weight))[share]
    )
    log_prior[~np.repeat(testers.active, n_nodes, axis=1)] = -np.inf
    middle = np.arange(J * n_nodes) % n_nodes == n_nodes // 2
    log_prior[np.ix_(busy, ~middle)] = -np.inf
    return Grid(
        node, np.exp(2.0 * node), np.array(settings.lapse)[share], share, log_prior, np.zeros_like(node)
    )


def _live(grid: Grid, tester: Ints) -> Iterator[tuple[int, slice | Ints]]:
    """Each node with the trials of testers for whom it is alive."""
    for j in range(grid.lapse.size):
        alive = np.isfinite(grid.log_prior[:, j])
        if alive.all():
            yield j, slice(None)
        elif alive.any():
            yield j, np.flatnonzero(alive[tester])


def node_scores(grid: Grid, lik: Likelihood, m: Floats, v: Floats) -> Scores:
    """For each live node: log Z, Z'/Z and Z''/Z of its trials under their cavities N(m, v)."""
    out = []
    for j, rows in _live(grid, lik.tester):
        tester, lower, upper, mj, vj = lik.tester[rows], lik.lower[rows], lik.upper[rows], m[rows], v[rows]
        s2 = grid.sigma2[:, j]
        n = tester.size
        logz, d1, d2 = np.empty(n), np.empty(n), np.empty(n)
        keep, floor = 1.0 - grid.lapse[j], grid.lapse[j] / lik.n_categories
        for c in range(0, n, _CHUNK):
            s = slice(c, min(c + _CHUNK, n))
            P, P1, P2 = normaliser(mj[s], vj[s], lower[s], upper[s], s2[tester[s]])
            Z = np.maximum(keep * P + floor, 1e-300)
            inv = keep / Z
            logz[s], d1[s], d2[s] = np.log(Z), P1 * inv, P2 * inv
        out.append((j, rows, logz, d1, d2))
    return out


def update_testers(
    grid: Grid,
    scores: Scores,
    lik: Likelihood,
    testers: Precisions,
    hyper: Hyper,
    busy: Bools,
) -> tuple[Grid, Precisions]:
    """Posterior weights of the nodes, and each tester's new normals on log sigma.

    For busy testers the normal comes from one Newton step at their only node.
    """
    R, N = grid.node.shape
    L = grid.log_prior.copy()
    for j, rows, logz, _, _ in scores:
        L[:, j] += np.bincount(lik.tester[rows], logz, R)
    top = L.max(1, keepdims=True) if N else L
    q = np.exp(L - top)
    q /= q.sum(1, keepdims=True)
    J = testers.mean.shape[1]
    by_share = q.reshape(R, J, N // J)
    weight = by_share.sum(-1)
    node = grid.node.reshape(R, J, N // J)
    within = by_share / np.maximum(weight, 1e-300)[:, :, None]
    mean = np.where(weight > 1e-12, (within * node).sum(-1), testers.mean)
    var = np.where(weight > 1e-12, (within * (node - mean[:, :, None]) ** 2).sum(-1), testers.var)
    if busy.any():
        middle = slice(N // J // 2, N, N // J)
        score, information = _log_sigma_score(grid, scores, lik)
        information = information[:, middle] + 1.0 / hyper.om2
        score = score[:, middle] - (grid.node[:, middle] - hyper.rho0) / hyper.om2
        mean[busy] = (grid.node[:, middle] + score / information)[busy]
        var[busy] = (1.0 / information)[busy]
    return replace(grid, q=q), Precisions(mean, var, weight, testers.active)


def _log_sigma_score(grid: Grid, scores: Scores, lik: Likelihood) -> tuple[Floats, Floats]:
    """Σ d log Z/d log sigma per tester and node, and the sum of its squares, which estimates the information.

    Z is a normal smoothed over sigma², so the heat equation gives dZ/d(sigma²) = Z''/2 and
    d log Z/d log sigma = sigma² Z''/Z.
    """
    R, N = grid.node.shape
    score, square = np.zeros((R, N)), np.zeros((R, N))
    for j, rows, _, _, d2 in scores:
        tester = lik.tester[rows]
        s = grid.sigma2[:, j][tester] * d2
        score[:, j] = np.bincount(tester, s, R)
        square[:, j] = np.bincount(tester, s * s, R)
    return score, square


def site_targets(
    grid: Grid,
    scores: Scores,
    lik: Likelihood,
    m: Floats,
    v: Floats,
) -> tuple[Floats, Floats]:
    """(w, n) that match the tilted moments: g = Z'/Z, H = Z''/Z − g², w = −H/(1 + vH),
    n = (g − mH)/(1 + vH).
    """
    g, h = np.zeros(m.size), np.zeros(m.size)
    for j, rows, _, d1, d2 in scores:
        weight = grid.q[:, j][lik.tester[rows]]
        if isinstance(rows, slice):
            g += weight * d1
            h += weight * d2
        else:
            g[rows] += weight * d1
            h[rows] += weight * d2
    return _moment_match(g, h, m, v)


def _moment_match(g: Floats, second: Floats, m: Floats, v: Floats) -> tuple[Floats, Floats]:
    # Lapses make the likelihood convex far from the grade; a site precision below zero is cut off at nothing.
    h = np.minimum(second - g * g, -1e-8)
    d = np.maximum(1.0 + v * h, 1e-3)
    return -h / d, (g - m * h) / d


def site_targets_frozen(
    grid: Grid, left_out: Floats, lik: Likelihood, m: Floats, v: Floats
) -> tuple[Floats, Floats]:
    """Site targets with leave-one-out node weights held: ``left_out`` is (n, N),
    any positive scale per row.
    """
    z0, g, h = np.zeros(m.size), np.zeros(m.size), np.zeros(m.size)
    for j in range(grid.lapse.size):
        w = left_out[:, j]
        if not w.any():
            continue
        P, P1, P2 = normaliser(m, v, lik.lower, lik.upper, grid.sigma2[lik.tester, j])
        keep = 1.0 - grid.lapse[j]
        z0 += w * (keep * P + grid.lapse[j] / lik.n_categories)
        g += w * keep * P1
        h += w * keep * P2
    z0 = np.maximum(z0, 1e-300)
    return _moment_match(g / z0, h / z0, m, v)


def left_out_weights(grid: Grid, lik: Likelihood, m: Floats, v: Floats) -> Floats:
    """q_j/Z_j per trial and node, scaled to a largest value of 1 per trial; shape (n, N)."""
    out = np.zeros((m.size, grid.lapse.size))
    for j, rows, logz, _, _ in node_scores(grid, lik, m, v):
        with np.errstate(divide="ignore"):
            out[rows, j] = np.log(grid.q[lik.tester[rows], j]) - logz
    dead = ~np.isfinite(grid.log_prior)[lik.tester]
    out[dead] = -np.inf
    weights: Floats = np.exp(out - out.max(1, keepdims=True))
    return weights
