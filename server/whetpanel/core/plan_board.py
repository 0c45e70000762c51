"""What every further trial would be worth: the state of a plan that is being made.

A further trial of stone i by tester r with steel k is a Gaussian site of its expected precision w on
eta = u_ik + m_k − beta_r, so with v = Var(eta)

    Var(G_j) ← Var(G_j) − Cov(G_j, eta)²/(v + 1/w)              for every stone j
    Cov(m, beta) ← S − (S f')(S f')'/(v + 1/w)                  f as in pooling/gaussian.py

Both are exact for the Gaussian posterior; only stone i needs to be eliminated anew. Summed over the other stones the
gain is a quadratic form f S Q S f' with Q = Σ_j f̄_j' f̄_j, so that all candidates are scored at once.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from whetpanel.core.pooling.arrays import Bools, Floats, Ints
from whetpanel.core.pooling.result import Z90, PoolResult

MOST_STONES = 1500
"""Stones planned for at once: the neediest ones. The rest wait for the next plan."""


@dataclass(frozen=True)
class Aim:
    """What a stone needs before its grade may be published, as in core/readiness.py.

    tried_by, tried_with  stone → testers and steels that count; a stone that is not listed counts as the result has it
    """

    half_width: float
    min_testers: int = 0
    min_steels: int = 0
    tried_by: Mapping[str, Collection[str]] | None = None
    tried_with: Mapping[str, Collection[str]] | None = None


@dataclass(frozen=True)
class Worth:
    """What every candidate is worth now, (s, K, R), in squared units of the fit.

    narrowing  fall, over all stones that are too wide, of the variance above what the aim allows
    counts     missing testers and steels that it brings, each as much as the whole variance the aim allows
    fall       fall of the stone's own variance
    """

    narrowing: Floats
    counts: Floats
    fall: Floats

    @property
    def gain(self) -> Floats:
        """All of it."""
        out: Floats = self.narrowing + self.counts
        return out


def wide_stones(result: PoolResult, half_width: float) -> Bools:
    """(S,): stones whose interval is too wide, also where an end of the scale cuts it off."""
    a = result.arrays
    out: Bools = (a.sd > half_width / Z90) & ((a.high90 - a.low90) / 2 > half_width)
    return out


def _among(names: Sequence[str], some: Collection[str]) -> Bools:
    """(S,): which names are among some. numpy compares names one by one, which takes longer than the plan itself."""
    wanted = set(some)
    return np.fromiter((name in wanted for name in names), dtype=np.bool_, count=len(names))


def missing_counts(result: PoolResult, aim: Aim) -> tuple[Ints, Ints]:
    """(S,), (S,): testers and steels that each stone still lacks."""
    a, names = result.arrays, result.stone_names
    testers, steels = a.n_testers.copy(), a.n_steels.copy()
    for have, listed in ((testers, aim.tried_by), (steels, aim.tried_with)):
        for i, name in enumerate(names):
            if listed is not None and name in listed:
                have[i] = len(set(listed[name]))
    return np.maximum(aim.min_testers - testers, 0), np.maximum(aim.min_steels - steels, 0)


class PlanBoard:
    """Stones in question (s), steels (K) and testers (R) with everything a candidate's worth depends on."""

    def __init__(
        self,
        result: PoolResult,
        aim: Aim,
        *,
        stones: Collection[str] | None,
        always: Collection[str],
        newcomers: Sequence[str],
    ) -> None:
        a = result.arrays
        fit, design, unit = a.fit, a.problem.design, a.scale.unit
        self.result, self.unit = result, unit
        self.limit = (aim.half_width / Z90 / unit) ** 2
        wide = wide_stones(result, aim.half_width)
        testers_missing, steels_missing = missing_counts(result, aim)
        lacking = testers_missing + steels_missing
        wanted = wide | (lacking > 0)
        if stones is not None:
            wanted &= _among(result.stone_names, stones)
        first = _among(result.stone_names, always)
        urgency = np.maximum((a.sd / unit) ** 2 - self.limit, 0.0) * wide + self.limit * lacking
        needy = np.flatnonzero(wanted & ~first)
        needy = needy[np.argsort(-urgency[needy], kind="stable")[:MOST_STONES]]
        self.stones: Ints = np.sort(np.concatenate([np.flatnonzero(first), needy]))
        self.row = {result.stone_names[i]: j for j, i in enumerate(self.stones.tolist())}
        # A stone that is here only because the dealer named it is not planned for.
        self.planned_for: Bools = wanted[self.stones]
        self.wide: Bools = wide[self.stones] & self.planned_for
        self.missing_testers: Ints = testers_missing[self.stones]
        self.missing_steels: Ints = steels_missing[self.stones]
        self.testers = (*result.tester_names, *newcomers)
        self.column = {name: r for r, name in enumerate(self.testers)}
        K, R, known = design.n_steels, len(self.testers), design.n_testers
        self.K, self.R = K, R
        self.steel = {name: k for k, name in enumerate(result.steel_names[:K])}
        self.reference = a.reference
        self.hyper = fit.state.hyper
        at = design.position[self.stones]
        self.anchor = a.problem.anchors.precision[at]
        self._gather(at)
        self._count(aim)
        self.cov = np.zeros((K + R, K + R))
        self.cov[: K + known, : K + known] = fit.posterior.block.cov[:-1, :-1]
        extra = np.arange(K + known, K + R)
        self.cov[extra, extra] = self.hyper.tb2
        s = self.stones.size
        self.U, self.M_steel, self.M_tester = np.empty((s, K, K)), np.empty((s, K, K)), np.empty((s, K, R))
        self.eliminate(np.arange(s))
        # The printed variance also holds what is unknown about the hyper-parameters; it shrinks along.
        self.ratio = np.ones(s)
        own = self.refresh()
        self.ratio = (a.sd[self.stones] / unit) ** 2 / own
        self.allowed: Bools = np.ones((s, K, R), dtype=np.bool_) & self.planned_for[:, None, None]
        self.repeats = False
        self.expect(known)

    def _gather(self, at: Ints) -> None:
        """Summed site precisions of the needy stones, dense: W (s, K) and B (s, K, R)."""
        a = self.result.arrays
        design = a.problem.design
        s, K, R = at.size, self.K, self.R
        local = np.full(design.n_stones, -1)
        local[at] = np.arange(s)
        rows = np.flatnonzero(local[design.stone] >= 0)
        i, k, r = local[design.stone[rows]], design.steel[rows], design.tester[rows]
        flat = (i * K + k) * R + r
        w = a.fit.state.sites.w[rows]
        self.B = -np.bincount(flat, w, s * K * R).astype(np.float64).reshape(s, K, R)
        self.W = -self.B.sum(-1)
        self.tried: Bools = np.bincount(flat, minlength=s * K * R).reshape(s, K, R) > 0

    def _count(self, aim: Aim) -> None:
        """Who and what counts as having met each stone: (s, R) and (s, K)."""
        self.met_tester: Bools = self.tried.max(1)
        self.met_steel: Bools = self.tried.max(2)
        self.n_testers: Ints = self.result.arrays.n_testers[self.stones].copy()
        self.n_steels: Ints = self.result.arrays.n_steels[self.stones].copy()
        for listed, met, n, place in (
            (aim.tried_by, self.met_tester, self.n_testers, self.column),
            (aim.tried_with, self.met_steel, self.n_steels, self.steel),
        ):
            for name, j in self.row.items():
                if listed is not None and name in listed:
                    met[j] = False
                    met[j, [place[one] for one in listed[name] if one in place]] = True
                    n[j] = len(set(listed[name]))

    def eliminate(self, at: Ints) -> None:
        """U and M of the given stones from their W and B; formulas in pooling/gaussian.py."""
        if at.size == self.stones.size:
            s, K, R = at.size, self.K, self.R
            self.U, self.M_steel, self.M_tester = (
                np.empty((s, K, K)),
                np.empty((s, K, K)),
                np.empty((s, K, R)),
            )
        h = 1.0 / (1.0 + self.hyper.nu2 * self.W[at])
        V = 1.0 / (1.0 / self.hyper.tau2 + (self.W[at] * h).sum(1))
        kk = np.arange(self.K)
        U = (V[:, None] * h)[:, :, None] * h[:, None, :]
        U[:, kk, kk] += self.hyper.nu2 * h
        c, a = self.anchor[at], self.reference
        e = U @ a
        U -= (c / (1.0 + c * (e @ a)))[:, None, None] * e[:, :, None] * e[:, None, :]
        H = np.zeros_like(U)
        H[:, kk, kk] = self.W[at]
        H += c[:, None, None] * (a[:, None] * a)
        self.U[at], self.M_steel[at], self.M_tester[at] = U, U @ H, U @ self.B[at]

    def refresh(self) -> Floats:
        """Recompute f̄ S, and the variance of every needy stone's grade (s,)."""
        a, S = self.reference, self.cov
        self.f = -np.concatenate(
            [np.einsum("k,skl->sl", a, self.M_steel) - a, np.einsum("k,skr->sr", a, self.M_tester)], axis=1
        )
        self.fS = self.f @ S
        self.aU = np.einsum("k,skl->sl", a, self.U)
        self.var: Floats = np.maximum(self.aU @ a + (self.fS * self.f).sum(1), 1e-12)
        out: Floats = self.var
        return out

    def forbid(
        self,
        holders: Mapping[str, Collection[str]],
        blades: Mapping[str, Collection[str]],
        excluded: set[tuple[str, str]],
        repeats: bool,
    ) -> None:
        """Strike out what cannot or shall not be done."""
        names = self.result.stone_names
        steels = np.array(self.result.steel_names[: self.K], dtype=object)
        testers = np.array(self.testers, dtype=object)
        for j, i in enumerate(self.stones.tolist()):
            if names[i] in holders:
                self.allowed[j, :, ~np.isin(testers, list(holders[names[i]]))] = False
        for name, has in blades.items():
            self.allowed[:, ~np.isin(steels, list(has)), self.testers.index(name)] = False
        row = {names[i]: j for j, i in enumerate(self.stones.tolist())}
        column = {name: r for r, name in enumerate(self.testers)}
        for tester, stone in excluded:
            if tester in column and stone in row:
                self.allowed[row[stone], :, column[tester]] = False
        self.repeats = repeats
        if not repeats:
            self.allowed &= ~self.tried

    def expect(self, known: int) -> None:
        """Expected site precision of every candidate: Fisher information of one grade where it would be given."""
        a = self.result.arrays
        scale, unit = a.scale, self.unit
        cell = scale.to_units(a.cell_estimate[self.stones])
        severity = np.zeros(self.R)
        severity[:known] = a.severity / unit
        testers = a.fit.state.testers
        lower, upper = scale.cuts(np.arange(scale.n_categories))
        cuts = np.concatenate([lower, upper[-1:]])
        spread = self._quadratic(self.cov) + self._own_var()
        self.info = np.empty((self.stones.size, self.K, self.R))
        for r in range(self.R):
            info = np.zeros(cell.shape)
            for j, lapse in enumerate(a.settings.lapse):
                weight = testers.weight[r, j] if r < known else a.settings.lapse_weight[j]
                if weight < 1e-3:
                    continue
                log_sigma = testers.mean[r, j] if r < known else self.hyper.rho0
                s2 = np.exp(2.0 * log_sigma) + 0.25 * spread[:, :, r]
                info += weight * grade_information(cell - severity[r], s2, cuts, lapse)
            self.info[:, :, r] = np.maximum(info, 1e-6)

    def _own_var(self) -> Floats:
        """(s, K, 1): variance of u_k given steels and testers."""
        return self.U.diagonal(axis1=1, axis2=2)[:, :, None]

    def _quadratic(self, S: Floats) -> Floats:
        """(s, K, R): f S f' for every candidate's f = z − M."""
        K = self.K
        M = np.concatenate([self.M_steel, self.M_tester], axis=2)
        Y = M @ S
        inner = (Y * M).sum(-1)
        steel = Y[:, np.arange(K), np.arange(K)]
        d = S.diagonal()
        both = d[:K, None] + d[None, K:] - 2.0 * S[:K, K:]
        out: Floats = (inner - 2.0 * steel)[:, :, None] + 2.0 * Y[:, :, K:] + both
        return out

    @property
    def need(self) -> Floats:
        """(s,): variance above what the aim allows."""
        out: Floats = np.where(self.wide, np.maximum(self.var * self.ratio - self.limit, 0.0), 0.0)
        return out

    def is_done(self) -> bool:
        """Whether no stone wants anything."""
        lacking = (self.missing_testers > 0) | (self.missing_steels > 0)
        return not ((self.need > 1e-12) | (lacking & self.planned_for)).any()

    def worth(self) -> Worth:
        """What every candidate is worth as things stand."""
        need, K = self.need, self.K
        M_fS = np.einsum("skp,sp->sk", self.M_steel, self.fS[:, :K]) + np.einsum(
            "skr,sr->sk", self.M_tester, self.fS[:, K:]
        )
        shared = (self.fS[:, :K] - M_fS)[:, :, None] - self.fS[:, None, K:]
        own = self.aU[:, :, None] + shared
        v = self._quadratic(self.cov) + self._own_var()
        per = 1.0 / (v + 1.0 / self.info)
        weight = np.where(need > 0, self.ratio, 0.0)
        Q = (self.f * weight[:, None]).T @ self.f
        elsewhere = self._quadratic(self.cov @ Q @ self.cov) - weight[:, None, None] * shared**2
        fall = own**2 * per * self.ratio[:, None, None]
        narrowing = np.minimum(fall, need[:, None, None]) + np.maximum(elsewhere, 0.0) * per
        counts = (
            (~self.met_tester & (self.missing_testers > 0)[:, None])[:, None, :].astype(np.float64)
            + (~self.met_steel & (self.missing_steels > 0)[:, None])[:, :, None]
        )  # fmt: skip
        return Worth(narrowing, self.limit * counts, fall)

    def take(self, j: int, k: int, r: int) -> None:
        """Count a trial as done."""
        w = self.info[j, k, r]
        f = -np.concatenate([self.M_steel[j, k], self.M_tester[j, k]])
        f[k] += 1.0
        f[self.K + r] -= 1.0
        Sf = self.cov @ f
        v = float(self.U[j, k, k] + f @ Sf)
        self.cov -= np.outer(Sf, Sf) / (v + 1.0 / w)
        self.W[j, k] += w
        self.B[j, k, r] -= w
        if not self.repeats:
            self.allowed[j, k, r] = False
        self.tried[j, k, r] = True
        self.meet(j, r, k)
        self.eliminate(np.array([j]))
        self.refresh()

    def meet(self, j: int, r: int, k: int | None) -> None:
        """The stone has met this tester, and this steel unless the panel has no measure for it."""
        if not self.met_tester[j, r]:
            self.met_tester[j, r] = True
            self.n_testers[j] += 1
            self.missing_testers[j] = max(self.missing_testers[j] - 1, 0)
        if k is not None and not self.met_steel[j, k]:
            self.met_steel[j, k] = True
            self.n_steels[j] += 1
            self.missing_steels[j] = max(self.missing_steels[j] - 1, 0)


def grade_information(mean: Floats, s2: Floats, cuts: Floats, lapse: float) -> Floats:
    """Fisher information about eta in one grade: Σ_c P'_c²/P_c for y* ~ N(eta, s2) cut at ``cuts`` (C + 1,)."""
    s = np.sqrt(s2)[..., None]
    x = (cuts - mean[..., None]) / s
    density = np.exp(-0.5 * x * x) * 0.3989422804014327
    n = cuts.size - 1
    P = (1.0 - lapse) * np.diff(ndtr(x), axis=-1) + lapse / n
    slope = (1.0 - lapse) * np.diff(density, axis=-1) / s
    out: Floats = np.sum(slope * slope / np.maximum(P, 1e-12), axis=-1)
    return out
