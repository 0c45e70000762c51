"""The loop: solve, refresh every site and every tester, move the hyper-parameters, until nothing moves."""

from dataclasses import dataclass, replace

import numpy as np

from whetpanel.core.pooling.arrays import Floats, Ints
from whetpanel.core.pooling.design import Design, part_of
from whetpanel.core.pooling.gaussian import Anchors, Block, Posterior, Sites, solve, solve_given_block
from whetpanel.core.pooling.model import BOUNDS, Hyper, PoolSettings
from whetpanel.core.pooling.sites import (
    BUSY,
    MANY_TRIALS,
    OPEN_CUT,
    Grid,
    Likelihood,
    Precisions,
    left_out_weights,
    make_grid,
    node_scores,
    site_targets,
    site_targets_frozen,
    update_testers,
)
from whetpanel.core.pooling.variances import next_hyper, next_tail


@dataclass(frozen=True)
class Problem:
    """What is to be fitted: everything that does not change between rounds."""

    design: Design
    likelihood: Likelihood
    anchors: Anchors
    settings: PoolSettings

    @property
    def n_nodes(self) -> int:
        """Quadrature nodes per tester and share."""
        return 7 if self.design.n_trials < MANY_TRIALS else 3


@dataclass(frozen=True)
class State:
    """What a round changes: the sites, the testers' precision, the hyper-parameters."""

    sites: Sites
    testers: Precisions
    hyper: Hyper
    tail: Floats
    """(R,): precision multiplier of each tester's severity prior; small for one who is far off."""


@dataclass(frozen=True)
class Fit:
    """A finished loop."""

    state: State
    posterior: Posterior
    grid: Grid
    n_rounds: int
    converged: bool
    unsettled: int
    """Stones whose sites were still moving when the loop ended."""


def cold_state(problem: Problem) -> State:
    """Sites as if each grade were a measurement at its own place with a typical tester's precision."""
    lik, settings = problem.likelihood, problem.settings
    hyper = Hyper.at_prior(settings)
    low_open, high_open = lik.lower < -OPEN_CUT, lik.upper > OPEN_CUT
    width = np.where(low_open | high_open, np.nan, lik.upper - lik.lower)
    half = 0.5 * float(np.nanmedian(width)) if np.isfinite(width).any() else 0.25
    centre = np.where(
        low_open & high_open,
        0.0,
        np.where(
            low_open, lik.upper - half, np.where(high_open, lik.lower + half, 0.5 * (lik.lower + lik.upper))
        ),
    )
    w = np.full(centre.size, 1.0 / (np.exp(2.0 * hyper.rho0) + half * half / 3.0))
    w[low_open | high_open] *= 0.5
    R = problem.design.n_testers
    return State(Sites(w, w * centre), Precisions.at_prior(R, hyper, settings), hyper, np.ones(R))


SAMPLE_FROM = 60_000
"""From this many trials on a sample of the stones first finds the rough place; rounds over a fiftieth cost nothing."""
SAMPLE = 20_000


def sampled_state(problem: Problem) -> State:
    """A cold start whose hyper-parameters and precisions come from every so many-th stone."""
    design = problem.design
    every = max(design.n_trials // SAMPLE, 1)
    stones = np.arange(0, design.n_stones, every)
    part, rows = part_of(design, stones)
    anchors = replace(
        problem.anchors, precision=problem.anchors.precision[stones], value=problem.anchors.value[stones]
    )
    small = Problem(
        part, problem.likelihood.part(rows), anchors, replace(problem.settings, tolerance=1e-2, max_rounds=15)
    )
    found = run(small).state
    cold = cold_state(problem)
    active = np.ones_like(found.testers.active)
    return State(cold.sites, replace(found.testers, active=active), found.hyper, found.tail)


def cavities(eta: Floats, var: Floats, sites: Sites) -> tuple[Floats, Floats]:
    """Mean and variance of each eta with its own site taken away."""
    precision = np.maximum(1.0 / var - sites.w, 1e-3)
    return (eta / var - sites.n) / precision, 1.0 / precision


def per_stone_max(values: Floats, design: Design) -> Floats:
    """Largest value among each stone's trials (0 without any); rows are sorted by stone."""
    out = np.zeros(design.n_stones)
    tested = np.flatnonzero(design.trials_of_stone)
    if values.size:
        starts = (np.cumsum(design.trials_of_stone) - design.trials_of_stone)[tested]
        out[tested] = np.maximum.reduceat(values, starts)
    return out


class _StoneSteps:
    """Step length per stone: shorter where its grades swing to and fro, longer again where they do not."""

    def __init__(self, design: Design) -> None:
        self.length = np.ones(design.n_stones)
        self._design = design
        self._last: Floats | None = None

    def adapt(self, moved: Floats, n_round: int) -> None:
        """``moved``: (n,) change of every eta in this round."""
        # A stone torn between two readings may have no resting place; shrinking steps give it one.
        most, least = min(1.0, 30.0 / (n_round + 1)), min(0.15, 4.5 / (n_round + 1))
        if self._last is not None:
            d = self._design
            turn = np.bincount(d.stone, moved * self._last, d.n_stones)
            again = np.bincount(d.stone, self._last * self._last, d.n_stones)
            swings = turn < -0.2 * again
            self.length = np.where(
                swings, np.maximum(0.7 * self.length, least), np.minimum(1.2 * self.length, most)
            )
        self._last = moved


class _Anderson:
    """Anderson's acceleration of the hyper-parameters' fixed point, which alone would creep.

    (Anderson, Journal of the ACM 12:547–560, 1965.)
    """

    DEPTH = 2
    FIRST = 3
    """Rounds before this one are still finding the rough place; their steps would mislead."""
    QUIET = 1e-3
    """Below this residual the last steps are mostly echoes of the sites, and the plain step is better."""
    LAST = 18
    """A panel of contradictions can lead the extrapolation about in circles; from here on plain steps, halved where
    a component swings."""
    REACH = 4.0
    """A step further than this many plain ones is extrapolation, not acceleration."""

    def __init__(self) -> None:
        self._x: list[Floats] = []
        self._f: list[Floats] = []

    def step(self, x: Floats, f: Floats, n_round: int) -> Floats:
        """The step to take from ``x``, whose plain fixed-point step would be ``f``."""
        size = float(np.abs(f).max(initial=0.0))
        if n_round < self.FIRST or size < self.QUIET:
            return f
        if n_round >= self.LAST:
            last = self._f[-1] if self._f else np.zeros_like(f)
            self._f = [f]
            return _plain(f, last, leap=n_round % 4 == 0)
        if self._f and size > 2.0 * float(np.abs(self._f[-1]).max()):
            self._x, self._f = [], []
        self._x, self._f = [*self._x[-self.DEPTH :], x], [*self._f[-self.DEPTH :], f]
        if len(self._f) < 2:
            return f
        dF = np.diff(np.array(self._f), axis=0).T
        dX = np.diff(np.array(self._x), axis=0).T
        gamma = np.linalg.lstsq(dF, f, rcond=1e-3)[0]
        return np.clip(f - (dX + dF) @ gamma, -self.REACH * size, self.REACH * size)


def _plain(f: Floats, last: Floats, *, leap: bool) -> Floats:
    """Fixed-point steps, halved where a component swings; now and then a leap where one creeps ever the same way."""
    ratio = np.divide(f, last, out=np.zeros_like(f), where=np.abs(last) > 1e-9)
    longer = np.where(leap & (ratio > 0.5), 1.0 / (1.0 - np.minimum(ratio, 0.9)), 1.0)
    return np.where(ratio < 0, 0.5, longer) * f


def cooling(n_round: int) -> float:
    """Late rounds take shorter steps, so that a cycle dies out."""
    return min(1.0, 12.0 / (n_round + 1))


def run(
    problem: Problem, start: State | None = None, *, fix_hyper: bool = False, max_rounds: int | None = None
) -> Fit:
    """Fit the model. ``start`` is an earlier state of the same design, else a cold start."""
    design, lik, settings = problem.design, problem.likelihood, problem.settings
    tol = settings.tolerance
    if start is None:
        start = sampled_state(problem) if design.n_trials >= SAMPLE_FROM else cold_state(problem)
    state = start
    sites, testers, hyper = Sites(state.sites.w.copy(), state.sites.n.copy()), state.testers, state.hyper
    open_trial = (lik.lower < -OPEN_CUT) | (lik.upper > OPEN_CUT)
    open_ended = np.bincount(design.stone, open_trial, design.n_stones).astype(np.int64)
    busy = np.bincount(design.tester, minlength=design.n_testers) >= BUSY
    tail = state.tail
    steps, outer = _StoneSteps(design), _Anderson()
    eta_old: Floats | None = None
    block_old: Floats | None = None
    converged, unsettled, n_round = False, 0, 0
    for n_round in range(max_rounds or settings.max_rounds):
        post = solve(design, sites, hyper, problem.anchors, settings, tail)
        change = np.zeros(design.n_stones)
        moved = np.inf
        if eta_old is not None:
            change = per_stone_max(np.abs(post.eta - eta_old) / np.sqrt(post.var), design)
            if n_round < 30:
                change /= steps.length
            moved = float(change.max(initial=0.0))
            steps.adapt(post.eta - eta_old, n_round)
        eta_old = post.eta
        cool = cooling(n_round)
        m, v = cavities(post.eta, post.var, sites)
        grid = make_grid(testers, hyper, settings, problem.n_nodes, busy)
        scores = node_scores(grid, lik, m, v)
        grid, found = update_testers(grid, scores, lik, testers, hyper, busy)
        w, n = site_targets(grid, scores, lik, m, v)
        step = (cool * steps.length)[design.stone]
        sites.w += step * (w - sites.w)
        sites.n += step * (n - sites.n)
        if n_round >= 2:
            restless = _restless(change, open_ended, n_round, tol)
            if restless.size:
                passes = 8 if n_round > 4 else 4
                _settle(problem, sites, (m, v), grid, hyper, post.block, restless, passes, 0.7 * cool)
        target = (
            hyper.vector() if fix_hyper else next_hyper(post, found, hyper, settings, design.n_stones, tail)
        )
        if np.isfinite(settings.severity_df):
            tail = tail + cool * (next_tail(post, hyper, settings) - tail)
        testers, hyper, drift, hyper_moved = _move_outer(testers, found, hyper, target, outer, n_round)
        mean, sd = post.block.mean[:-1], np.sqrt(post.block.cov.diagonal()[:-1])
        block_moved = np.inf if block_old is None else float(np.abs((mean - block_old) / sd).max(initial=0.0))
        block_old = mean
        moving = np.flatnonzero(change > tol)
        quiet = max(hyper_moved, drift) < 2 * tol * max(1.0, (n_round - 12) / 6) and block_moved < 5 * tol
        if quiet and np.isfinite(moved) and (moved < tol or moving.size <= 0.002 * design.n_stones):
            converged = True
            if moving.size:
                m, v = cavities(post.eta, post.var, sites)
                unsettled = _settle(problem, sites, (m, v), grid, hyper, post.block, moving, 80, 0.3)
            break
    post = solve(design, sites, hyper, problem.anchors, settings, tail)
    return Fit(
        State(sites, testers, hyper, tail), post, grid, n_round + 1, converged and unsettled == 0, unsettled
    )


def _restless(change: Floats, open_ended: Ints, n_round: int, tolerance: float) -> Ints:
    """Stones worth inner passes: those that move on their own account, not merely along with everybody."""
    if n_round == 2:
        return np.flatnonzero(open_ended > 1)
    common = float(np.median(change))
    own = change > np.maximum(4.0 * common, 2.0 * tolerance)
    return np.flatnonzero(own & ((open_ended > 1) | (n_round > 4)))


def _move_outer(
    testers: Precisions, found: Precisions, hyper: Hyper, target: Floats, outer: _Anderson, n_round: int
) -> tuple[Precisions, Hyper, float, float]:
    """Take the step towards the testers' new posteriors and the next hyper-parameters;
    also how far each wants to go.
    """
    cool = cooling(n_round)
    x = hyper.vector()
    f = np.clip(np.clip(target, BOUNDS[:, 0], BOUNDS[:, 1]) - x, -1.0, 1.0)
    limit = np.maximum(1.5 * np.sqrt(testers.var), 0.4)
    wanted = np.where(testers.active, np.clip(found.mean - testers.mean, -limit, limit), 0.0)
    plain = (found.weight * wanted).sum(1)
    step = outer.step(x, f, n_round)
    mean = testers.mean + cool * wanted
    var = np.clip(np.clip(found.var, 0.25 * testers.var, 4.0 * testers.var), 1e-6, 4.0)
    # Shares of random grades that the first rounds have ruled out are no longer followed. The usual slip always is:
    # while the stones are still rough, steady testers can look careless for a round or two.
    active = testers.active & ((found.weight > 1e-4) | (n_round < 4))
    active[:, 0] = True
    moved = replace(found, mean=mean, var=var, active=active)
    hyper_moved = float(np.abs(f).max())
    if not hyper_moved:
        return moved, hyper, float(np.abs(plain).max(initial=0.0)), 0.0
    return (
        moved,
        Hyper.from_vector(x + max(cool, 0.6) * step),
        float(np.abs(plain).max(initial=0.0)),
        hyper_moved,
    )


def _settle(
    problem: Problem,
    sites: Sites,
    round_cavities: tuple[Floats, Floats],
    grid: Grid,
    hyper: Hyper,
    block: Block,
    stones: Ints,
    passes: int,
    step: float,
) -> int:
    """Inner passes on some stones with steels, testers and hyper-parameters held.
    Returns how many still move.
    """
    while passes > 0 and stones.size:
        moved = _settle_pass(problem, sites, round_cavities, grid, hyper, block, stones, min(8, passes), step)
        stones = stones[moved > 0.5 * problem.settings.tolerance]
        passes -= 8
        step = max(0.1, 0.8 * step)
    return int(stones.size)


def _settle_pass(
    problem: Problem,
    sites: Sites,
    round_cavities: tuple[Floats, Floats],
    grid: Grid,
    hyper: Hyper,
    block: Block,
    stones: Ints,
    passes: int,
    first_step: float,
) -> Floats:
    part, rows = part_of(problem.design, stones)
    lik = problem.likelihood.part(rows)
    anchors = replace(
        problem.anchors, precision=problem.anchors.precision[stones], value=problem.anchors.value[stones]
    )
    m, v = round_cavities
    left_out = left_out_weights(grid, lik, m[rows], v[rows])
    local = Sites(sites.w[rows], sites.n[rows])
    step = np.full(stones.size, first_step)
    old: Floats | None = None
    last: Floats | None = None
    for _ in range(passes):
        eta, var = solve_given_block(part, local, hyper, anchors, block)
        if old is not None:
            moved = per_stone_max(np.abs(eta - old) / np.sqrt(var), part)
            if float(moved.max(initial=0.0)) < 0.5 * problem.settings.tolerance:
                last = moved
                break
            if last is not None:
                step = np.where(moved > 0.5 * last, np.maximum(0.8 * step, 0.1), step)
            last = moved
        old = eta
        m, v = cavities(eta, var, local)
        w, n = site_targets_frozen(grid, left_out, lik, m, v)
        local.w += step[part.stone] * (w - local.w)
        local.n += step[part.stone] * (n - local.n)
    sites.w[rows], sites.n[rows] = local.w, local.n
    return np.full(stones.size, np.inf) if last is None else last
