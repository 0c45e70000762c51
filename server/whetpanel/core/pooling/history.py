"""How a stone's grade came about: the estimate after its first trial, its second, and so on.

The fit is Gaussian once its sites are known, so a trial can be taken away from one stone without fitting again. With
C the stone's own columns among steels and testers (K + q of them), S_CC their posterior covariance, and P the
precision and r the right side that the stone itself gave (gaussian.py):

    without the stone    S° = (S_CC⁻¹ − P)⁻¹         m° = S° (S_CC⁻¹ m_C − r)
    before its trials    g = u + m,  u ~ N(0, tau² 11' + nu² I):   Cov g = S°_mm + tau² 11' + nu² I
    after each trial     eta = g_k − beta_r, v = Var eta, c = Cov((g, beta), eta), d = 1 + w v:
                         mean += c (n − w E eta)/d         Cov −= w c c'/d
    the stone's grade    a·g, with a the weights of the reference steels

The rank-one steps are exact, and the last one ends at the fit's own grade. How a single grade is read (its site) hangs
on the others: the first of two grades that contradict each other was no slip of the finger while it stood alone. So
each earlier estimate reads the grades that are in by then anew, in a few passes with the testers held.
"""

from dataclasses import dataclass

import numpy as np

from whetpanel.core.pooling.arrays import Bools, Floats, Ints
from whetpanel.core.pooling.conflict import grade_log_density, moments_on_grid
from whetpanel.core.pooling.design import Bucket, Design
from whetpanel.core.pooling.fit import Fit, Problem, cavities
from whetpanel.core.pooling.gaussian import Eliminated, Sites, eliminate
from whetpanel.core.pooling.sites import left_out_weights, site_targets_frozen

READ_ANEW = 30
"""After this many trials of one stone a further one changes no other's reading, and anew would cost the square."""
_PASSES = 8
_MOVED = 0.01
"""Largest move of a pass, in posterior sd, that counts as settled; a drawn line shows no less."""


@dataclass(frozen=True)
class History:
    """The stone's grade along its trials, in units from the middle. Rows in sorted order."""

    before: Floats
    """(S,): mean before the stone's first trial."""
    before_var: Floats
    after: Floats
    """(n,): mean once this trial and the stone's earlier ones are in."""
    after_var: Floats


def estimates_over_time(
    problem: Problem, fit: Fit, when: Floats, torn: Bools | None = None, *, read_anew: int = READ_ANEW
) -> History:
    """Every stone's estimate before its first trial and after each one. ``when``: (n,) time of each sorted trial.

    Trials of one moment go in sorted order. ``torn``: (S,) truth of stones whose trials contradict each other; theirs
    is summed on a grid, as their final grade is. ``read_anew``: up to which trial of a stone the grades before it are
    read anew; 0 leaves every site as the fit has it.

    Notes
    -----
    The later trials of the *same* stone are taken away, nothing else: testers' severity and steadiness, the steels
    and the hyper-parameters are what is known with everything in. That is the question a dealer asks (how did this
    stone settle?), not what the club would have printed on the day.
    """
    d, sites = problem.design, fit.state.sites
    S, n = d.n_stones, d.n_trials
    before, before_var = np.empty(S), np.empty(S)
    after, after_var = np.empty(n), np.empty(n)
    readings = _Readings(problem, fit) if read_anew else None
    for bucket in d.buckets:
        mean, cov = _before(problem, fit, bucket)
        a = np.concatenate([problem.anchors.reference, np.zeros(bucket.q)])
        before[bucket.stones] = mean @ a
        before_var[bucket.stones] = (cov @ a) @ a
        anew = None if readings is None else _Anew(d, bucket, readings, mean, cov)
        for turn, rows in enumerate(_in_turn(d, bucket, when)):
            _take_in(d, bucket, sites, rows, mean, cov)
            at = d.stone[rows] - bucket.stones.start
            after[rows] = mean[at] @ a
            after_var[rows] = (cov[at] @ a) @ a
            if anew is not None and turn < read_anew:
                rows = rows[d.trials_of_stone[d.stone[rows]] > turn + 1]
                if rows.size:
                    after[rows], after_var[rows] = anew.take_in(rows, a)
    if torn is not None and torn.any():
        _on_grid(problem, fit, when, np.flatnonzero(torn), after, after_var)
    return History(before, np.maximum(before_var, 1e-12), after, np.maximum(after_var, 1e-12))


class _Readings:
    """What it takes to read a grade anew: who gave it, how steady that tester is without it, and the fit's own site."""

    def __init__(self, problem: Problem, fit: Fit) -> None:
        self.lik, self.grid, self.sites = problem.likelihood, fit.grid, fit.state.sites
        m, v = cavities(fit.posterior.eta, fit.posterior.var, self.sites)
        self.left_out = left_out_weights(self.grid, self.lik, m, v)

    def targets(self, rows: Ints, m: Floats, v: Floats) -> tuple[Floats, Floats]:
        """Sites of some trials under cavities of their own."""
        return site_targets_frozen(self.grid, self.left_out[rows], self.lik.part(rows), m, v)


class _Anew:
    """A bucket's stones with their first trials in, each grade read in the light of those alone."""

    def __init__(self, d: Design, bucket: Bucket, readings: _Readings, mean: Floats, cov: Floats) -> None:
        self._d, self._bucket, self._readings = d, bucket, readings
        self._precision = np.linalg.inv(cov)
        self._right = np.einsum("sij,sj->si", self._precision, mean)
        self._rows = np.zeros(0, dtype=np.int64)
        self._w, self._n = np.zeros(0), np.zeros(0)

    def take_in(self, rows: Ints, a: Floats) -> tuple[Floats, Floats]:
        """One more trial of each of some stones; the others are done with. Mean and variance of their grades."""
        d, start = self._d, self._bucket.stones.start
        stones = d.stone[rows]
        stay = np.isin(d.stone[self._rows], stones)
        sites = self._readings.sites
        self._rows = np.concatenate([self._rows[stay], rows])
        self._w = np.concatenate([self._w[stay], sites.w[rows]])
        self._n = np.concatenate([self._n[stay], sites.n[rows]])
        at = np.searchsorted(np.sort(stones), d.stone[self._rows])
        kept = np.sort(stones) - start
        restless = np.ones(kept.size, dtype=np.bool_)
        mean, cov = np.empty((kept.size, a.size)), np.empty((kept.size, a.size, a.size))
        old: Floats | None = None
        for turn in range(_PASSES):
            mean[restless], cov[restless] = self._solve(kept, at, restless)
            j, k, r = (
                at,
                d.steel[self._rows],
                d.n_steels + self._bucket.slot[self._rows - self._bucket.trials.start],
            )
            eta = mean[j, k] - mean[j, r]
            spread = np.maximum(cov[j, k, k] - 2.0 * cov[j, k, r] + cov[j, r, r], 1e-12)
            if old is not None:
                moved = np.zeros(kept.size)
                np.maximum.at(moved, at, np.abs(eta - old) / np.sqrt(spread))
                restless &= moved > _MOVED
                if not restless.any():
                    break
            old = eta
            some = np.flatnonzero(restless[at])
            m, v = cavities(eta[some], spread[some], Sites(self._w[some], self._n[some]))
            w, n = self._readings.targets(self._rows[some], m, v)
            step = 1.0 if turn == 0 else 0.7
            self._w[some] += step * (w - self._w[some])
            self._n[some] += step * (n - self._n[some])
        back = np.searchsorted(kept, stones - start)
        grade: Floats = mean[back] @ a
        var: Floats = (cov[back] @ a) @ a
        return grade, var

    def _solve(self, kept: Ints, at: Ints, restless: Bools) -> tuple[Floats, Floats]:
        d, bucket = self._d, self._bucket
        which = np.flatnonzero(restless)
        place = np.full(restless.size, -1)
        place[which] = np.arange(which.size)
        some = np.flatnonzero(restless[at])
        local = self._rows[some] - bucket.trials.start
        j, k, r = place[at[some]], d.steel[self._rows[some]], d.n_steels + bucket.slot[local]
        D = d.n_steels + bucket.q
        w, n = self._w[some], self._n[some]
        flat = j * D * D
        added = np.bincount(
            np.concatenate([flat + k * D + k, flat + r * D + r, flat + k * D + r, flat + r * D + k]),
            np.concatenate([w, w, -w, -w]), which.size * D * D,
        ).reshape(which.size, D, D)  # fmt: skip
        right = np.bincount(np.concatenate([j * D + k, j * D + r]), np.concatenate([n, -n]), which.size * D)
        cov: Floats = np.linalg.inv(self._precision[kept[which]] + added)
        right = right.reshape(which.size, D) + self._right[kept[which]]
        return np.einsum("sij,sj->si", cov, right), cov


def _before(problem: Problem, fit: Fit, bucket: Bucket) -> tuple[Floats, Floats]:
    """Mean (s, K+q) and covariance of (g, beta) of a bucket's stones before any trial of their own; what was agreed
    for a check stone is in from the start.
    """
    K, q = problem.design.n_steels, bucket.q
    hyper, block = fit.state.hyper, fit.posterior.block
    e = eliminate(bucket, K, fit.state.sites, hyper, problem.anchors)
    own, right = _own_part(bucket, e, K, fit.state.sites)
    columns = np.concatenate([np.broadcast_to(np.arange(K), (bucket.n, K)), K + bucket.testers], axis=1)
    cov = block.cov[columns[:, :, None], columns[:, None, :]]
    # The empty columns of a stone with fewer testers than its bucket holds stand apart with variance one.
    empty = columns == block.mean.size - 1
    at = np.flatnonzero(empty.any(1))
    for i in at:
        j = np.flatnonzero(empty[i])
        cov[i, j, j] = 1.0
    precision = np.linalg.inv(cov)
    m = block.mean[columns]
    left = precision - own
    S = np.linalg.inv(0.5 * (left + left.transpose(0, 2, 1))).astype(np.float64, copy=False)
    mean = np.einsum("sij,sj->si", S, np.einsum("sij,sj->si", precision, m) - right)
    S[:, :K, :K] += hyper.tau2 + hyper.nu2 * np.eye(K)
    c = problem.anchors.precision[bucket.stones]
    if c.any():
        a = np.concatenate([problem.anchors.reference, np.zeros(q)])
        with_grade = S @ a
        d = 1.0 + c * (with_grade @ a)
        value = problem.anchors.value[bucket.stones]
        mean += with_grade * (c * (value - mean @ a) / d)[:, None]
        S -= (c / d)[:, None, None] * with_grade[:, :, None] * with_grade[:, None, :]
    return mean, S


def _own_part(bucket: Bucket, e: Eliminated, K: int, sites: Sites) -> tuple[Floats, Floats]:
    """Precision (s, K+q, K+q) and right side (s, K+q) that each stone gave to the block of steels and testers."""
    s, q = bucket.n, bucket.q
    own = np.zeros((s, K + q, K + q))
    own[:, :K, :K] = e.H_steel - e.H_steel.transpose(0, 2, 1) @ e.M_steel
    cross = e.B - e.H_steel.transpose(0, 2, 1) @ e.M_tester
    own[:, :K, K:] = cross
    own[:, K:, :K] = cross.transpose(0, 2, 1)
    own[:, K:, K:] = -e.B.transpose(0, 2, 1) @ e.M_tester
    r = np.arange(K, K + q)
    own[:, r, r] -= e.B.sum(1)
    right = np.empty((s, K + q))
    right[:, :K] = e.b - np.einsum("skl,sk->sl", e.M_steel, e.b)
    of_slot = (bucket.cell // K) * q + bucket.slot
    n = np.bincount(of_slot, sites.n[bucket.trials], s * q).reshape(s, q)
    right[:, K:] = -n - np.einsum("skq,sk->sq", e.M_tester, e.b)
    return own, right


def _in_turn(d: Design, bucket: Bucket, when: Floats) -> list[Ints]:
    """The bucket's rows in as many rounds as its busiest stone has trials: every stone's first, every one's second."""
    rows = np.arange(bucket.trials.start, bucket.trials.stop)
    rows = rows[np.lexsort((rows, when[rows], d.stone[rows]))]
    starts = np.flatnonzero(np.diff(d.stone[rows], prepend=-1))
    counts = np.diff(np.append(starts, rows.size))
    turn = np.arange(rows.size) - np.repeat(starts, counts)
    by_turn = rows[np.argsort(turn, kind="stable")]
    return list(np.split(by_turn, np.cumsum(np.bincount(turn))[:-1])) if rows.size else []


def _take_in(d: Design, bucket: Bucket, sites: Sites, rows: Ints, mean: Floats, cov: Floats) -> None:
    """One trial of each of some stones: a rank-one step of ``mean`` and ``cov`` in place."""
    local = rows - bucket.trials.start
    at = bucket.cell[local] // d.n_steels
    k, r = d.steel[rows], d.n_steels + bucket.slot[local]
    each = np.arange(rows.size)
    c = cov[at, :, k] - cov[at, :, r]
    v = c[each, k] - c[each, r]
    eta = mean[at, k] - mean[at, r]
    w = sites.w[rows]
    denominator = 1.0 + w * v
    mean[at] += c * ((sites.n[rows] - w * eta) / denominator)[:, None]
    cov[at] -= (w / denominator)[:, None, None] * c[:, :, None] * c[:, None, :]


def _on_grid(
    problem: Problem, fit: Fit, when: Floats, stones: Ints, after: Floats, after_var: Floats
) -> None:
    """The torn stones' course, from the same sums on a grid that gave their final grade."""
    prior, each, rows, local = grade_log_density(problem, fit, stones)
    order = np.lexsort((rows, when[rows], local))
    rows, local, each = rows[order], local[order], each[order]
    sums = np.cumsum(each, axis=0)
    starts = np.flatnonzero(np.diff(local, prepend=-1))
    earlier = np.concatenate([np.zeros((1, each.shape[1])), sums])[starts]
    counts = np.diff(np.append(starts, rows.size))
    mean, var = moments_on_grid(prior[local] + sums - np.repeat(earlier, counts, axis=0))
    after[rows], after_var[rows] = mean, var
