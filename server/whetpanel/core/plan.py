"""Which trial next: the trials that most reduce what stands between the stones and publication.

Greedy, one trial at a time. A further trial of stone i by tester r with steel k is a Gaussian site of its expected
precision w on eta = u_ik + m_k − beta_r, so with v = Var(eta)

    Var(G_j) ← Var(G_j) − Cov(G_j, eta)²/(v + 1/w)              for every stone j
    Cov(m, beta) ← S − (S f')(S f')'/(v + 1/w)                  f as in pooling/gaussian.py

Both are exact for the Gaussian posterior; only stone i needs to be eliminated anew. Summed over the other stones the
gain is a quadratic form f S Q S f' with Q = Σ_j f̄_j' f̄_j, so that all candidates are scored at once.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from whetpanel.core.pooling.arrays import Bools, Floats, Ints
from whetpanel.core.pooling.result import Z90, PoolResult
from whetpanel.errors import Invalid

MOST_STONES = 1500
"""Stones planned for at once: the widest ones. The rest wait for the next plan."""


@dataclass(frozen=True)
class PlannedTrial:
    """One trial worth doing, in order of worth.

    expected_gain      expected fall, over all stones, of the variance above what the target allows (grades²)
    half_width_before  half width of this stone's 90 % interval when the trial's turn comes
    half_width_after   the same once it is in
    """

    tester: str
    stone: str
    steel: str
    expected_gain: float
    half_width_before: float
    half_width_after: float


def plan_trials(
    result: PoolResult,
    *,
    n: int,
    target_half_width: float = 0.5,
    stones: Collection[str] | None = None,
    holders: Mapping[str, Collection[str]] | None = None,
    blades_by_tester: Mapping[str, Collection[str]] | None = None,
    load: Mapping[str, int] | None = None,
    excluded: Collection[tuple[str, str]] = (),
    repeats: bool = False,
) -> tuple[PlannedTrial, ...]:
    """Up to ``n`` trials, best first; fewer when every stone is narrow enough or nobody is free.

    Parameters
    ----------
    target_half_width  half width of the 90 % interval at which a stone may be published, in grades of the scale
    stones             the stones that matter; None: all that the result knows
    holders            testers who can try a stone now; a stone that is not listed can go to anyone
    blades_by_tester   steels a tester has; a tester who is not listed has every steel. A listed tester whom the
                       panel does not know yet is planned for with the panel's typical severity and precision
    load               most trials a tester takes on in this plan; a tester who is not listed has no limit
    excluded           (tester, stone) pairs that shall not meet
    repeats            whether a tester may be sent the same stone and steel again. Off, since a remembered grade
                       is not a second opinion

    Raises Invalid for a target that is not above zero or an unknown stone.
    """
    if not target_half_width > 0:
        raise Invalid("The target half width of an interval is above zero.")
    unknown = set(stones or ()) - set(result.stone_names)
    if unknown:
        raise Invalid(f"The pooled result does not know the stone {min(unknown)!r}; pool it first.")
    if not result.steel_names:
        return ()
    board = _Board(result, target_half_width, stones, blades_by_tester or {}, load or {})
    board.forbid(holders or {}, blades_by_tester or {}, set(excluded), repeats)
    left = np.array([(load or {}).get(name, n) for name in board.testers], dtype=np.int64)
    out = []
    for _ in range(max(n, 0)):
        planned = board.best(left)
        if planned is None:
            break
        out.append(planned)
    return tuple(out)


class _Board:
    """Needy stones (s), steels (K) and testers (R) with everything a candidate's worth depends on."""

    def __init__(
        self,
        result: PoolResult,
        target: float,
        stones: Collection[str] | None,
        blades: Mapping[str, Collection[str]],
        load: Mapping[str, int],
    ) -> None:
        a = result.arrays
        fit, design, unit = a.fit, a.problem.design, a.scale.unit
        self.result, self.unit = result, unit
        self.limit = (target / Z90 / unit) ** 2
        wanted = a.sd > target / Z90
        if stones is not None:
            wanted &= np.isin(np.array(result.stone_names, dtype=object), list(stones))
        needy = np.flatnonzero(wanted)
        needy = np.sort(needy[np.argsort(-a.sd[needy], kind="stable")[:MOST_STONES]])
        self.stones = needy
        new = sorted((set(blades) | set(load)) - set(result.tester_names))
        self.testers = (*result.tester_names, *new)
        K, R, known = design.n_steels, len(self.testers), design.n_testers
        self.K, self.R = K, R
        self.reference = a.reference
        self.hyper = fit.state.hyper
        self.anchor = a.problem.anchors.precision[design.position[needy]]
        self._gather(design.position[needy])
        self.cov = np.zeros((K + R, K + R))
        self.cov[: K + known, : K + known] = fit.posterior.block.cov[:-1, :-1]
        extra = np.arange(K + known, K + R)
        self.cov[extra, extra] = self.hyper.tb2
        s = needy.size
        self.U, self.M_steel, self.M_tester = np.empty((s, K, K)), np.empty((s, K, K)), np.empty((s, K, R))
        self.eliminate(np.arange(s))
        # The printed variance also holds what is unknown about the hyper-parameters; it shrinks along.
        self.ratio = np.ones(needy.size)
        own = self.refresh()
        self.ratio = (a.sd[needy] / unit) ** 2 / own
        self.allowed = np.ones((needy.size, K, R), dtype=np.bool_)
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

    def best(self, left: Ints) -> PlannedTrial | None:
        """The best candidate, counted as done; None when nothing is left to gain or to do."""
        need = np.maximum(self.var * self.ratio - self.limit, 0.0)
        if not self.allowed.any() or not (need > 1e-12).any():
            return None
        open_: Bools = self.allowed & (left > 0)
        if not open_.any():
            return None
        K = self.K
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
        gain = np.minimum(fall, need[:, None, None]) + np.maximum(elsewhere, 0.0) * per
        gain[~open_] = -np.inf
        j, k, r = np.unravel_index(int(np.argmax(gain)), gain.shape)
        if not gain[j, k, r] > 0:
            return None
        before = float(np.sqrt(self.var[j] * self.ratio[j]))
        after = float(np.sqrt(max(self.var[j] * self.ratio[j] - fall[j, k, r], 0.0)))
        worth = float(gain[j, k, r])
        self._take(int(j), int(k), int(r))
        left[r] -= 1
        scale = Z90 * self.unit
        return PlannedTrial(
            self.testers[r], self.result.stone_names[self.stones[j]], self.result.steel_names[k],
            worth * self.unit**2, scale * before, scale * after,
        )  # fmt: skip

    def _take(self, j: int, k: int, r: int) -> None:
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
        if not self.tried[j, k, r]:
            self.tried[j, k, r] = True
        self.eliminate(np.array([j]))
        self.refresh()


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
